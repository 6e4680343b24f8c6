#include "tests/support/random_book.h"

#include <algorithm>
#include <random>
#include <vector>

namespace stringline::testing {
namespace {

using Texts = std::vector<std::string>;

// What an expression may name at its place.
struct Where {
  bool verdicts = true;  // verdicts, aims and computed readings
  std::string hand;      // the axis that something runs over
};

class Writer {
 public:
  explicit Writer(std::uint32_t seed) : random_(seed) {}

  RandomBook book() {
    RandomBook book;
    strings_ = 2 + below(2);
    book.house = house();
    readings_ = readings();
    book.profile = head() + readings_ + targets() + gates() + stops() + rules() + jobs();
    book.visit = visit();
    return book;
  }

 private:
  int below(int n) { return static_cast<int>(random_() % static_cast<std::uint32_t>(n)); }
  bool one_in(int n) { return below(n) == 0; }
  const std::string& pick(const Texts& from) {
    return from[static_cast<std::size_t>(below(static_cast<int>(from.size())))];
  }
  std::string number(int n) { return std::to_string(n); }

  std::string quarters(int n) {
    static const char* const after[] = {"", ".25", ".5", ".75"};
    return number(n / 4) + after[n % 4];
  }
  std::string length() {
    const int n = below(17);
    switch (below(8)) {
      case 0: return number(10 * n) + " thou";
      case 1: return number(n) + "/64 in";
      case 2: return number(n / 4) + "." + number(below(10)) + "/64 in";
      default: return quarters(n) + " mm";
    }
  }

  std::string member() {
    if (one_in(4)) return pick({"n0.", "h0.", "v0."}) + number(1 + below(strings_));
    return one_in(2) ? pick({"s0.bass", "s0.treble"}) : "t0." + number(1 + below(strings_));
  }
  std::string scalar(const Where& where) {
    if (where.hand == "side" && one_in(2)) return "s0";
    if (where.hand == "string" && one_in(2)) return pick({"t0", "n0", "h0", "v0"});
    if (where.verdicts && one_in(8)) return "c0";
    return one_in(4) ? member() : "r" + number(below(3));
  }
  std::string over_axis(const Where& where) {
    const bool side = one_in(2);
    const std::string axis = side ? "side" : "string";
    return (side ? "s0" : pick({"t0", "t0", "n0", "h0"})) + (where.hand == axis ? ".all" : "");
  }
  std::string amount(int depth, const Where& where) {
    if (depth == 0 || one_in(3))
      return one_in(5) ? length() : one_in(8) ? pick({"limit", "limit", "extra"}) : scalar(where);
    const auto sub = [&] { return amount(depth - 1, where); };
    switch (below(12)) {
      case 0: return sub() + " + " + sub();
      case 1: return sub() + " - " + scalar(where);
      case 2: return "max(" + sub() + ", " + sub() + ")";
      case 3: return "min(" + sub() + ", " + sub() + ")";
      case 4: return "abs(" + sub() + ")";
      case 5: return number(1 + below(3)) + " * " + scalar(where);
      case 6: return "(" + sub() + ") / 2";
      case 7: return "(if " + truth(depth - 1, where) + " then " + sub() + " else " + sub() + ")";
      case 8: return pick({"max(", "min("}) + over_axis(where) + ")";
      case 9: return "-" + scalar(where);
      case 10: return where.verdicts ? "aim(r" + number(below(3)) + ")" : sub();
      default: return "(" + sub() + " - " + sub() + ")";
    }
  }
  std::string comparison() {
    return pick({" over ", " under ", " at least ", " at most ", " > ", " < ", " >= ", " <= ", " is "});
  }
  std::string state() { return pick({"x1", "x2", "x3"}); }
  std::string verdict() { return pick({" is high", " is low", " is within", " is not within", " is not high"}); }
  std::string about_a_state() {
    switch (below(4)) {
      case 0: return "m" + number(below(2)) + pick({" is ", " is not ", " == ", " != "}) + state();
      case 1: return "m" + number(below(2)) + " one of (x1, " + pick({"x2", "x3"}) + ")";
      case 2: return "style" + pick({" is ", " is not "}) + pick({"a", "b", "c"});
      default:
        return one_in(3) ? "q0" + comparison() + number(below(4)) + " cents" : "touch is " + pick({"light", "heavy"});
    }
  }
  std::string over_members(const Where& where) {
    const std::string reading = over_axis(where);
    const std::string inner =
        where.verdicts && one_in(3) ? reading + verdict() : reading + comparison() + amount(0, {where.verdicts, ""});
    if (one_in(4)) return "count(" + inner + ")" + comparison() + number(below(3));
    return pick({"any(", "all(", "every("}) + inner + ")";
  }
  std::string atom(int depth, const Where& where) {
    switch (below(6)) {
      case 0: return about_a_state();
      case 1: return over_members(where);
      case 2: return where.verdicts ? scalar(where) + verdict() : about_a_state();
      case 3: return one_in(6) ? scalar(where) + " / " + scalar(where) + comparison() + number(1 + below(3)) : "bt0";
      default: return amount(depth > 0 ? depth - 1 : 0, where) + comparison() + amount(0, where);
    }
  }
  std::string truth(int depth, const Where& where) {
    if (depth == 0 || one_in(4)) return atom(depth, where);
    const auto sub = [&] { return truth(depth - 1, where); };
    switch (below(8)) {
      case 0: return "not " + sub();
      case 1: return "not (" + sub() + ")";
      case 2: return "(" + sub() + ")";
      case 3: return "(if " + sub() + " then " + sub() + " else " + sub() + ")";
      case 4:
      case 5: return sub() + " and " + sub();
      default: return sub() + " or " + sub();
    }
  }

  std::string house() {
    std::string order =
        one_in(2) ? "[p1, p2, p3, last]" : "[p1, {p2: [" + pick({"z_r0, k1", "k3, a_s0, k0", "g1"}) + "]}, p3, last]";
    const std::string strings = strings_ == 2 ? "[10p, 13p]" : "[10p, 13p, 17p]";
    return "house: h\ndecide: " + pick({"clear", "clear", "prove", "plain"}) + "\norder: " + order +
           "\nparts: {set_a: {price: 1.00, strings: " + strings + "}}\n";
  }
  std::string head() {
    static const Texts pitches{"E4", "B3", "G3"};
    std::string tuning = pitches[0];
    for (int i = 1; i < strings_; ++i) tuning += ", " + pitches[static_cast<std::size_t>(i)];
    return "profile: p\nfacts:\n  scale: 25 in\n  pitch: " + pick({"0.5 mm", "0.8 mm", "1/32 in"}) +
           "\n  frets: 12\n  body_joint: 12\n  limit: " + length() + "\n  extra: \"" +
           pick({"r0", "r2 + 0.5 mm", "max(t0)", "s0.bass - limit"}) + "\"\n  tuning: [" + tuning + "]\n" +
           (one_in(3) ? "" : "  style: a\n") + "choices: {style: [a, b, c], touch: [light, heavy]}\n";
  }
  std::string tool() {
    std::string text;
    if (!one_in(3)) text += ", read_to: " + pick({"0.25 mm", "1 thou", "0.5 mm", "1/64 in"});
    if (one_in(4)) text += ", repeat: " + pick({"0.1 mm", "2 thou"});
    return text;
  }
  std::string readings() {
    std::string text = "readings:\n";
    for (const char* name : {"r0", "r1", "r2"})
      text += "  " + std::string(name) + ": {is: length" + tool() + (one_in(6) ? ", assume: " + length() : "") + "}\n";
    text += "  s0: {per: side, is: length" + tool() + "}\n  t0: {per: string, is: length" + tool() + "}\n";
    for (const char* name : {"m0", "m1"})
      text += "  " + std::string(name) + ": {is: [x1, x2, x3]" + (one_in(3) ? ", assume: " + state() : "") + "}\n";
    text += "  n0: {per: string, gap: {at: 1}" + tool() +
            "}\n  h0: {per: string, gap: {at: " + pick({"12", "12", "9"}) + "}" + tool() +
            "}\n  v0: {per: string, is: length, follows: saddle_height" + tool() +
            "}\n  q0: {is: cents, read_to: 1 cents}\n";
    text += "  bt0: {is: truth}\n  c0: {is: \"" + amount(2, {false, ""}) + "\"}\n";
    return text;
  }

  std::string range() {
    const int lo = below(10);
    const int half = 1 + below(3);
    const std::string unit = " mm";
    switch (below(6)) {
      case 0: return "at least " + quarters(lo) + unit + " aim " + quarters(lo + half) + unit;
      case 1: return "at most " + quarters(lo + half) + unit + " aim " + quarters(lo) + unit;
      case 2: return quarters(lo + half) + unit + " +- " + quarters(half) + unit;
      case 3: return quarters(lo) + " .. " + quarters(lo + 2 * half) + unit + " aim " + quarters(lo + half);
      case 4: return number(lo) + "/64 in .. " + number(lo + 4 * half) + "/64 in";
      default: return quarters(lo) + " .. " + quarters(lo + half) + unit;
    }
  }
  template <class Leaf>
  std::string table(Leaf leaf) {
    switch (below(5)) {
      case 0: return "{by style: {a: " + leaf() + ", otherwise: " + leaf() + "}}";
      case 1: return "{by m0: {x1: " + leaf() + ", x2: " + leaf() + ", x3: " + leaf() + "}}";
      case 2: return "{by touch: {light: " + leaf() + ", heavy: " + leaf() + "}}";
      case 3:
        return "{by r2: {up to 1 mm: " + leaf() + ", over 1 mm up to 2.5 mm: " + leaf() + ", over 2.5 mm: " + leaf() +
               "}}";
      default: return "{by limit: {otherwise: " + leaf() + ", from 2 mm: " + leaf() + "}}";
    }
  }
  std::string targets() {
    std::string text = "targets:\n";
    const bool asks = one_in(8);  // for another's aim or verdict
    const Texts single = one_in(2) ? Texts{"r0", "r1", "r2"} : Texts{"r2", "r1", "r0"};
    for (const std::string name : {"r0", "r1", "s0", "t0", "c0", "r2"}) {
      const auto place = static_cast<int>(std::find(single.begin(), single.end(), name) - single.begin());
      const auto before = [&] {
        return single[static_cast<std::size_t>(below(place))];
      };  // so that none asks for itself
      const auto leaf = [&, same = range()] { return one_in(3) ? same : range(); };
      text += "  " + name + ":\n";
      if (!one_in(4)) text += "    phase: " + pick({"p1", "p2", "p3"}) + "\n";
      const std::string hand = name == "s0" ? "side" : name == "t0" ? "string" : "";
      if (one_in(6))
        text += "    when: \"" + truth(1, {false, hand}) + "\"\n";
      else if (place > 0 && asks && one_in(2))
        text += "    when: \"" + before() + verdict() + "\"\n";
      if (place > 0 && place < 3 && asks && one_in(2))
        text += "    range: aim(" + before() + ") +- " + quarters(1 + below(6)) + " mm\n";
      else
        text += "    range: " + (one_in(3) && name != "r2" ? table(leaf) : range()) + "\n";
      const auto job = [&] { return one_in(3) ? "none" : pick({"a_", "z_"}) + name; };
      for (const char* way : {"low", "high"}) {
        if (name != "c0" && !one_in(3))
          text += "    " + std::string(way) + ": " + (one_in(4) ? table(job) : job()) + "\n";
      }
      if (name == "s0" && one_in(3)) text += "  s0.bass: {range: " + range() + "}\n";
    }
    return text + gap_targets();
  }
  std::string width() {  // a range with both ends
    const int lo = below(10);
    const int half = 1 + below(3);
    if (one_in(3)) return quarters(lo + half) + " mm +- " + quarters(half) + " mm";
    return quarters(lo) + " .. " + quarters(lo + 2 * half) + " mm" +
           (one_in(2) ? " aim " + quarters(lo + below(2 * half)) : "");
  }
  std::string gap_targets() {
    std::string text;
    for (const std::string name : {"n0", "h0"}) {
      text += "  " + name + ":\n    range: " + width() + "\n";
      if (!one_in(6)) text += "    phase: " + pick({"p1", "p2", "p3"}) + "\n";
      if (one_in(8)) text += "    when: \"" + truth(1, {false, "string"}) + "\"\n";
      for (const char* way : {"low", "high"}) {
        if (!one_in(8)) text += "    " + std::string(way) + ": " + pick({"a_", "z_"}) + name + "\n";
      }
      if (one_in(3)) text += "  " + name + ".1: {range: " + width() + "}\n";
    }
    return text + "  v0: {range: at least " + quarters(1 + below(6)) + " mm}\n";
  }

  std::string some(const Texts& from) {
    std::string list = pick(from);
    if (one_in(3)) {
      const std::string& other = pick(from);
      if (other != list) list += ", " + other;
    }
    return "[" + list + "]";
  }
  std::string gates() {
    std::string text;
    for (int i = 0; i < below(3); ++i) {
      text += "  g" + number(i) + ":\n    open_when: \"" +
              (one_in(3) ? truth(2, {}) : "m1 is not x3 or " + truth(1, {})) + "\"\n";
      if (!one_in(3)) text += "    do: " + pick({"g0", "g1", "k2"}) + "\n";
      if (one_in(2)) text += "    voids: " + some({"r0", "r1", "s0", "t0", "s0.bass", "t0.2", "gaps", "n0"}) + "\n";
      if (one_in(2))
        text += "    holds: " + (one_in(4) ? "visit" : some({"r0", "r1", "s0", "t0", "s0.treble", "h0"})) + "\n";
    }
    return text.empty() ? text : "gates:\n" + text;
  }
  std::string stops() {
    std::string text;
    for (int i = 0; i < below(3); ++i) {
      text += "  e" + number(i) + ":\n    when: \"" +
              (one_in(3) ? truth(2, {}) : "m1 is x3 and (" + truth(1, {}) + ")") + "\"\n";
      if (one_in(2)) text += "    do: " + some({"k0", "k1", "g0"}) + "\n";
      if (one_in(2)) text += "    offer: " + some({"k2", "k3"}) + "\n";
    }
    return text.empty() ? text : "stops:\n" + text;
  }
  std::string rules() {
    std::string text = "rules:\n";
    for (int i = 0; i < 2 + below(4); ++i) {
      Where where;
      text += "  u" + number(i) + ":\n";
      if (one_in(3)) text += "    for: " + (where.hand = pick({"side", "string"})) + "\n";
      text += "    when: \"" + truth(1 + below(3), where) + "\"\n    say: heard\n";
      if (one_in(2)) text += "    do: " + some({"k0", "k1", "k2", "k3"}) + "\n";
      if (one_in(4)) text += "    offer: " + pick({"k1", "k3"}) + "\n";
    }
    return text;
  }
  std::string jobs() {
    std::string text = "jobs:\n";
    for (const std::string name : {"r0", "r1", "s0", "t0", "r2"}) {
      for (const char* way : {"a_", "z_"}) text += "  " + (way + name) + ": {sets: " + name + "}\n";
    }
    for (int i = 0; i < 4; ++i) {
      text += "  k" + number(i) + ": {label: do k" + number(i);
      if (!one_in(3)) text += ", phase: " + pick({"p1", "p2", "p3", "last"});
      if (one_in(6)) text += ", routine: true";
      if (one_in(4)) text += ", disturbs: " + some({"r0", "r1", "s0", "t0", "gaps", "h0"});
      text += "}\n";
    }
    for (const std::string way : {"a_", "z_"}) {
      text += "  " + way + "n0: {moves: nut_height, sets: n0" +
              pick({"", ", work_to: 0.05 mm", ", work_to: 0.01 mm, removes: true"}) + "}\n";
      text += "  " + way + "h0: {moves: saddle_height, sets: h0" +
              pick({"", ", work_to: 0.05 mm, removes: true", ", tell: {turns: travel / pitch}, work_to: 1/8 turns"}) +
              "}\n";
    }
    text += "  k4: {sets: {" + pick({"r0", "t0", "n0"}) + ": " + length() + "}}\n";
    for (int i = 0; i < 2; ++i)
      text += "  g" + number(i) + ": {phase: " + pick({"p1", "p2", "p3"}) + ", sets: {m" + number(i) + ": " + state() +
              "}}\n";
    return text;
  }

  std::string read_number() {
    switch (below(16)) {
      case 0: return "unknown";
      case 1: return "not_measurable";
      case 2: return "at least " + length();
      case 3: return "at most " + length();
      case 4: return "[" + quarters(below(16)) + " mm, " + quarters(below(16)) + " mm, " + quarters(below(16)) + " mm]";
      default: return length();
    }
  }
  // A gap whose tool says what it tells apart may be read so.
  std::string touches(const std::string& point) {
    const std::string from = "\n  " + point.substr(0, 2) + ": {";
    const std::size_t at = readings_.find(from);
    const bool says = readings_.substr(at, readings_.find('}', readings_.find("at:", at) + 4) - at).find("read_to") !=
                      std::string::npos;
    return says && point[0] != 'v' ? "contact" : length();
  }
  std::string read_state() { return one_in(8) ? "not_measurable" : state(); }
  std::string some_readings(int share) {
    std::string text;
    const auto say = [&](const std::string& name, const std::string& value) {
      if (below(4) < share) text += "      " + name + ": " + value + "\n";
    };
    for (const char* name : {"r0", "r1", "r2", "s0.bass", "s0.treble", "t0.1", "t0.2"}) say(name, read_number());
    for (const char* name : {"n0.1", "n0.2", "h0.1", "h0.2", "v0.1", "v0.2"})
      say(name, one_in(8) ? touches(name) : read_number());
    say("q0", number(below(6)) + " cents");
    for (const char* name : {"m0", "m1"}) say(name, read_state());
    if (one_in(2)) say("bt0", pick({"true", "false"}));
    if (one_in(8)) say("c0", length());
    return text;
  }
  std::string done() {
    if (one_in(4)) return "{job: " + pick({"a_n0", "z_h0"}) + ", amount: 0.1 mm}";
    return some({"k0", "k1", "k4", "g0", "g1", "a_r0", "z_s0", "a_t0", "a_n0", "z_n0", "z_h0"});
  }
  std::string visit() {
    std::string text = "visit: v\nprofile: p\n";
    if (one_in(2))
      text += "player: {" + pick({"style: b", "style: c", "touch: light", "touch: heavy, style: a"}) + "}\n";
    if (one_in(5))
      text +=
          "wants: {" + pick({"r0", "r1", "s0.bass", "n0.1", "h0.2"}) + ": " + (one_in(2) ? width() : "leave") + "}\n";
    text += "log:\n";
    int written = 0;
    for (int entry = 0; entry < 1 + below(3); ++entry) {
      ++written;
      text += "  - date: 2026-03-0" + number(1 + entry) + "\n    note: one\n";
      if (entry > 0 && one_in(2)) text += "    did: " + done() + "\n";
      if (entry > 0 && one_in(8)) text += pick({"    fitted: set_a\n", "    retuned: true\n"});
      if (one_in(8)) text += "    declined: " + pick({"k0", "k1", "z_r0", "a_r1", "a_n0", "z_h0"}) + "\n";
      if (one_in(8)) text += "    agreed: " + pick({"k0", "k2", "k3"}) + "\n";
      const std::string read = some_readings(entry == 0 ? 1 + below(4) : below(3));
      if (!read.empty()) text += "    read:\n" + read;
      if (written == entry + 1 && one_in(10))
        text += "  - strike: {entry: " + number(1 + below(written++)) + ", reason: a slip}\n";
    }
    return text;
  }

  std::mt19937 random_;
  int strings_ = 2;
  std::string readings_;
};

}  // namespace

RandomBook random_book(std::uint32_t seed) { return Writer(seed).book(); }

}  // namespace stringline::testing
