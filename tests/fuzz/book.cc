// A valid book with a few lines changed: most inputs pass the readers, so that check, judge, plan and the owner's paper are tried.
//
// The input is a list of edits of four bytes: which file, which line, what to do with it, and with which scrap. Lines are left out,
// doubled, taken from the other files, or one of their words is replaced.
#include <array>
#include <iterator>
#include <sstream>
#include <vector>

#include "engine/estimate/estimate.h"
#include "engine/judge/judge.h"
#include "engine/paper/estimate_text.h"
#include "engine/paper/text.h"
#include "engine/plan/plan.h"
#include "engine/value/date.h"
#include "tests/fuzz/fuzz.h"
#include "tests/support/shop.h"
#include "tests/support/stick.h"

using namespace stringline;

namespace {

using Lines = std::vector<std::string>;

Lines lines_of(const std::string& text) {
  std::istringstream in(text);
  Lines lines;
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string joined(const Lines& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

constexpr std::array scraps{"0 mm",
                            "-1 mm",
                            "1e9 mm",
                            "0.1 mm",
                            "at least 1 mm",
                            "at most 2 mm",
                            "1 .. 2 mm",
                            "unknown",
                            "contact",
                            "none",
                            "not_measurable",
                            "relief",
                            "action.bass",
                            "nut_gap.all",
                            "any(rise over 0 mm)",
                            "rise.3",
                            "{by touch: {light: 1 mm, otherwise: 2 mm}}",
                            "[relief, action]",
                            "visit",
                            "gaps",
                            "{is: 1 mm, as: {at: 17, held: [1]}}",
                            "change(relief) over 0 mm",
                            "1/0",
                            "leave",
                            "30 %",
                            "99999999999999.99",
                            "true",
                            "rod",
                            "tighten",
                            "[tighten, lower]",
                            "first",
                            "[1, 2, 3]",
                            "2026-02-30"};

void edit(std::array<Lines, 3>& files, const std::uint8_t* bytes) {
  Lines& file = files[bytes[0] % files.size()];
  if (file.empty()) return;
  const std::size_t at = bytes[1] % file.size();
  std::string& line = file[at];
  const std::string scrap = scraps[bytes[3] % scraps.size()];
  switch (bytes[2] % 6) {
    case 0: file.erase(file.begin() + static_cast<std::ptrdiff_t>(at)); return;
    case 1: file.insert(file.begin() + static_cast<std::ptrdiff_t>(at), line); return;
    case 2: {
      const Lines& other = files[bytes[3] % files.size()];
      if (!other.empty()) line = other[bytes[3] % other.size()];
      return;
    }
    case 3: {  // the value of a key
      const auto colon = line.rfind(": ");
      if (colon != std::string::npos) line = line.substr(0, colon + 2) + scrap;
      return;
    }
    case 4: {  // one value inside braces
      const auto comma = line.find(", ", bytes[3] % (line.size() + 1));
      const auto colon = comma == std::string::npos ? comma : line.rfind(": ", comma);
      if (colon != std::string::npos) line = line.substr(0, colon + 2) + scrap + line.substr(comma);
      return;
    }
    default: line.insert(bytes[3] % (line.size() + 1), 1, static_cast<char>(bytes[3])); return;
  }
}

const std::string& house_text() {
  static const std::string text = stick_house + R"(currency: USD
bench: {rate: 90.00 per h, step: 15 min, minimum: 30.00}
packages:
  setup: {covers: [rod, nut, bridge, last], except: [shim_nut], price: 80.00}
prices: {shim_nut: 40.00, look: 30.00}
tax: 20 %
)";
  return text;
}

const std::string& profile_text() {
  static const std::string text = stick_profile + R"(rules:
  proud: {for: fret, when: rise over 0.05 mm, do: check_all, because: "fret {fret} stands {rise} proud"}
  low_nut: {when: any(nut_gap is low), offer: shim_nut, say: "the nut is low, down to {min(nut_gap)}"}
gates:
  bent: {open_when: relief under 1 mm, do: tighten, holds: action, say: the neck first}
stops:
  bowed: {when: relief over 2 mm, do: check_all, offer: shim_nut, charge: look, refer: a maker}
)";
  return text;
}

void run(const std::array<Lines, 3>& files) {
  const auto shop = open_shop({joined(files[1])}, joined(files[2]), joined(files[0]));
  fuzz::render_all(shop->diagnostics, shop->sources);
  if (!shop->program) return;
  const Judgement judgement = judge(*shop->program);
  std::size_t rules = 0;
  for (const std::size_t count : judgement.ledger) rules += count;
  fuzz::promise(rules == shop->program->rules.size(), "every rule ends in one state");
  const Plan plan = make_plan(*shop->program, judgement);
  fuzz::promise(!work_text(*shop->program, judgement, plan, "v", "").empty(), "a list is printed");
  if (!shop->house || !shop->visit) return;
  const EstimateInput in{*shop->program, *shop->house, *shop->visit, judgement, plan, *parse_date("2026-03-01")};
  if (const auto estimate = make_estimate(in, shop->diagnostics))
    fuzz::promise(!estimate_text(*estimate).empty(), "a paper is printed");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::array<Lines, 3> whole{
      lines_of(house_text()), lines_of(profile_text()),
      lines_of(
          stick_visit("relief: 0.40 mm, nut_gap: 0.45 mm, action: {bass: 2.6 mm, treble: 1.3 mm}, rise: {9: 0.08 mm}",
                      "player: {chords: [x02220]}\nwants: {action.bass: 1.5 mm}\n") +
          "  - did: tighten\n  - read: {relief: 0.20 mm}\n  - agreed: {jobs: lower, up_to: 200.00}\n")};
  constexpr std::size_t most = 12;
  auto files = whole;
  for (std::size_t at = 0; at + 4 <= size && at < 4 * most; at += 4) edit(files, data + at);
  run(files);
  return 0;
}
