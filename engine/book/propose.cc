// See propose.h.
#include "engine/book/propose.h"
#include "engine/diag/render.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "engine/check/evaluate.h"
#include "engine/check/mentions.h"
#include "engine/syntax/read_trials.h"
#include "engine/syntax/read_yaml.h"

namespace stringline {
namespace {

// "7.25 in" -> "7_25_in"
std::string as_name(const std::string& text) {
  std::string name;
  for (const char c : text) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
    if (plain)
      name += c;
    else if (!name.empty() && name.back() != '_')
      name += '_';
  }
  while (!name.empty() && name.back() == '_') name.pop_back();
  return name;
}

struct Fact {
  std::string name;
  std::string value;
  bool telling = false;  // the value says enough without the fact's name: tapping, but not true or 16 in
};

// A row of a target's range, how it is reached, and the first point that has it.
struct Row {
  std::size_t target = 0;
  Span place;
  std::vector<Fact> facts;
  bool by_hand = false;  // a table on the way asks something that no fact says
};

// Rows -------------------------------------------------------------------------------------

class Rows {
 public:
  explicit Rows(const Program& program) : program_(program) {}

  std::vector<Row> run() {
    for (std::size_t at = 0; at < program_.targets.size(); ++at) {
      if (program_.targets[at].range) walk(*program_.targets[at].range, {at, {}, {}, false});
    }
    return std::move(rows_);
  }

 private:
  void walk(const TypedChoice<TypedRange>& choice, Row row) {
    if (std::holds_alternative<TypedRange>(choice.node)) {
      row.place = choice.span;
      const auto same = [&](const Row& each) {
        return each.place == row.place && program_.reading_of(program_.targets[each.target].point).name ==
                                              program_.reading_of(program_.targets[row.target].point).name;
      };
      if (std::none_of(rows_.begin(), rows_.end(), same)) rows_.push_back(std::move(row));
      return;
    }
    const auto& table = *std::get<1>(choice.node);
    for (const auto& [key, below] : table.rows) {
      Row deeper = row;
      const auto value = value_for(table, key);
      const auto* fact = std::get_if<typed::Fact>(&table.selector->node);
      if (fact == nullptr || !value)
        deeper.by_hand = true;
      else
        deeper.facts.push_back({program_.facts[fact->fact].name, *value, table.selector->type.kind == Kind::state});
      walk(below, std::move(deeper));
    }
  }

  // A value of the selector that leads to this row.
  std::optional<std::string> value_for(const TypedTable<TypedRange>& table, const TypedRowKey& key) const {
    switch (key.kind) {
      case TypedRowKey::Kind::state: return key.state;
      case TypedRowKey::Kind::truth: return std::string(key.truth ? "true" : "false");
      case TypedRowKey::Kind::number: return to_decimal(key.number);
      case TypedRowKey::Kind::band: return in_band(table, key);
      case TypedRowKey::Kind::otherwise: return otherwise(table);
      case TypedRowKey::Kind::pitch: break;
    }
    return std::nullopt;
  }

  static std::optional<std::string> length(const TypedTable<TypedRange>& table, std::optional<Ratio> value) {
    const Dimension dimension = table.selector->type.dimension;
    if (!value) return std::nullopt;
    if (dimension == dimension::length) return to_text(*value, Unit::mm);
    return dimension == dimension::number ? std::optional(to_decimal(*value)) : std::nullopt;
  }

  static std::optional<std::string> in_band(const TypedTable<TypedRange>& table, const TypedRowKey& key) {
    if (key.hi && key.hi_belongs) return length(table, key.hi);
    if (key.lo && key.lo_belongs) return length(table, key.lo);
    return key.lo ? length(table, multiply(*key.lo, *Ratio::make(9, 8))) : std::nullopt;
  }

  // A state that no other row names, or a number under the lowest band.
  std::optional<std::string> otherwise(const TypedTable<TypedRange>& table) const {
    std::set<std::string> named;
    std::optional<Ratio> lowest;
    for (const auto& [key, below] : table.rows) {
      named.insert(key.state);
      if (key.lo && (!lowest || *key.lo < *lowest)) lowest = key.lo;
    }
    const Type& type = table.selector->type;
    if (type.kind == Kind::number) return lowest ? length(table, divide(*lowest, Ratio(2))) : std::nullopt;
    if (type.kind != Kind::state) return std::nullopt;
    for (const std::string& state : program_.state_sets[type.states].states) {
      if (named.count(state) == 0) return state;
    }
    return std::nullopt;
  }

  const Program& program_;
  std::vector<Row> rows_;
};

// Conditions -------------------------------------------------------------------------------

// A reading held against a value that nothing read changes: abs(twist) over 0.3 mm.
struct Threshold {
  PointId point = 0;
  Ratio value;
};

class Thresholds {
 public:
  explicit Thresholds(const Program& program) : program_(program), nothing_(program), evaluator_(program, nothing_) {}

  std::vector<Threshold> in(const Typed& expr) {
    walk(expr);
    return std::move(found_);
  }

 private:
  void walk(const TypedPtr& expr) {
    if (expr) walk(*expr);
  }
  void walk(const Typed& expr) {
    std::visit([this](const auto& node) { look(node); }, expr.node);
  }

  void look(const typed::Binary& node) {
    if (node.op >= BinaryOp::over && node.op <= BinaryOp::at_most) {
      compare(*node.left, *node.right);
      compare(*node.right, *node.left);
    }
    walk(node.left);
    walk(node.right);
  }
  void look(const typed::Unary& node) { walk(node.operand); }
  void look(const typed::Conditional& node) {
    walk(node.condition);
    walk(node.then_value);
    walk(node.else_value);
  }
  void look(const typed::Aggregate& node) { walk(node.body); }
  template <class Node>
  void look(const Node&) {}  // holds no comparison

  void compare(const Typed& reading, const Typed& value) {
    const auto point = read_in(reading);
    if (!point || !mentioned_in(program_, value).empty()) return;
    const Result limit = evaluator_.evaluate(value);
    if (limit.failure || !limit.value.number.is_exact()) return;
    found_.push_back({*point, *limit.value.number.lo});
  }

  // The first point of a reading that stands alone, in abs(), or in max() and the like.
  std::optional<PointId> read_in(const Typed& expr) const {
    if (const auto* absolute = std::get_if<typed::Absolute>(&expr.node)) return read_in(*absolute->operand);
    if (const auto* aggregate = std::get_if<typed::Aggregate>(&expr.node)) {
      return aggregate->fold == typed::Fold::count ? std::nullopt : read_in(*aggregate->body);
    }
    if (!std::holds_alternative<typed::Reading>(expr.node)) return std::nullopt;
    const auto points = mentioned_in(program_, expr);
    const bool computed = points.empty() || program_.reading_of(points.front()).source == ReadingInfo::Source::computed;
    return computed ? std::nullopt : std::optional(points.front());
  }

  const Program& program_;
  Nothing nothing_;
  Evaluator evaluator_;
  std::vector<Threshold> found_;
};

// The file ---------------------------------------------------------------------------------

class Proposal {
 public:
  Proposal(const ProposalRequest& asked, Sources& sources, Diagnostics& out)
      : asked_(asked), sources_(sources), out_(out) {}

  std::optional<std::string> run() {
    const auto alone = check({asked_.specs.house, asked_.specs.layers, nullptr}, out_);
    if (!alone) return std::nullopt;
    const std::string head = asked_.file != nullptr ? kept_head() : new_head(*alone);
    const auto usual = bound(head, "all_is_well: {work: none}\n");
    if (!usual) return std::nullopt;
    const Program& program = usual->front().program;
    const std::vector<Row> rows = Rows(program).run();
    std::string trials = "all_is_well: {work: none}\n";
    for (std::size_t i = 0; i < rows.size(); ++i)
      trials += fmt::format("row_{}: {{{}work: none}}\n", i, player(rows[i]));
    const auto reached = bound(head, trials);
    if (!reached) return std::nullopt;
    std::string text = head;
    for (std::size_t i = 0; i < rows.size(); ++i) text += cases((*reached)[i + 1].program, rows[i]);
    for (const GateInfo& gate : program.gates) text += around(program, "gate", gate.name, *gate.open_when, "holds");
    for (const StopInfo& stop : program.stops) text += around(program, "stop", stop.name, *stop.when, "stops");
    for (const RuleInfo& rule : program.rules) text += around(program, "rule", rule.name, *rule.when, "rules");
    return text + missing(program);
  }

 private:
  static std::string player(const Row& row) {
    std::string facts;
    for (const Fact& fact : row.facts)
      facts += fmt::format("{}{}: {}", facts.empty() ? "" : ", ", fact.name, fact.value);
    return facts.empty() ? "" : fmt::format("player: {{{}}}, ", facts);
  }

  std::string title() const {
    return fmt::format(
        "# Trials of {}: say what must come out in place of fill_in, and strike out what teaches nothing.\n",
        asked_.profile);
  }

  // The trials' own order and usual readings, as they are written.
  std::string kept_head() const {
    const TrialsTree& file = *asked_.file;
    const auto text = sources_.text(file.source);
    const std::size_t begin = text.rfind('\n', file.profile.span.begin) + 1;  // npos + 1 is 0
    const std::size_t end = file.trials.empty() ? text.size() : file.trials.front().name.span.begin;
    const std::string kept(text.substr(begin, end - begin));
    return title() + kept + (kept.back() == '\n' ? "" : "\n");
  }

  std::string new_head(const Program& program) const {
    std::string text = title() + fmt::format("trials: {}\n", asked_.profile);
    if (asked_.specs.house == nullptr) {
      std::vector<std::string> phases;
      for (const PhaseInfo& phase : program.phases) phases.push_back(phase.name);
      text += fmt::format("order: [{}]   # put them in the order of work\n", fmt::join(phases, ", "));
    }
    text += "usual:\n  # instrument: {strings: [string 1 first, as 10p, 13p, 17p, 26w]}\n";
    const std::string given = aims(program);
    return text + (given.empty() ? "  # given: what is read where all is well\n" : "  given:\n" + given) + "\n";
  }

  // Every reading at what the work would bring it to.
  static std::string aims(const Program& program) {
    const Judgement judgement = judge(program);
    std::string text;
    for (const ReadingInfo& reading : program.readings) {
      std::map<std::string, std::vector<PointId>> values;
      for (PointId point = reading.first; point < reading.first + reading.count; ++point) {
        if (reading.source == ReadingInfo::Source::computed || reading.assume || program.target_of[point] < 0) continue;
        const TargetState& state = judgement.targets[static_cast<std::size_t>(program.target_of[point])];
        if (state.aim) values[to_text(*state.aim, reading.unit)].push_back(point);
      }
      const bool one = values.size() == 1 && values.begin()->second.size() == reading.count;
      if (one) text += fmt::format("    {}: {}\n", reading.name, values.begin()->first);
      if (one) continue;
      for (const auto& [value, points] : values) {
        for (const PointId point : points) text += fmt::format("    {}: {}\n", program.points[point].name, value);
      }
    }
    return text;
  }

  std::optional<std::vector<Trial>> bound(const std::string& head, const std::string& trials) {
    const SourceId source = sources_.add("the proposal", head + trials);
    const auto node = read_yaml(source, sources_, out_);
    if (!node) return std::nullopt;
    auto tree = read_trials(*node, out_);
    if (!tree) return std::nullopt;
    files_.push_back(std::make_unique<TrialsTree>(std::move(*tree)));
    return bind_trials(*files_.back(), asked_.specs, out_);
  }

  static bool plausible(const Program& program, const ReadingInfo& reading, Ratio value) {
    if (!reading.plausible) return true;
    const Nothing nothing(program);
    const Evaluator evaluator(program, nothing);
    const auto end = [&](const TypedPtr& expr) {
      return expr ? evaluator.evaluate(*expr).value.number.lo : std::nullopt;
    };
    const auto lo = end(reading.plausible->lo);
    const auto hi = end(reading.plausible->hi);
    return (!lo || value >= *lo) && (!hi || value <= *hi);
  }

  // At a limit, and one step of the tool to each side.
  std::string cases(const Program& program, const Row& row) const {
    const TargetInfo& target = program.targets[row.target];
    const ReadingInfo& reading = program.reading_of(target.point);
    const std::string where = place_of(row);
    if (row.by_hand)
      return fmt::format("# {}: its table asks more than facts say, so its limits are yours to write\n", where);
    if (reading.source == ReadingInfo::Source::computed) return "";
    const Judgement judgement = judge(program);
    const TargetState& state = judgement.targets[row.target];
    std::string text;
    const auto add = [&](std::optional<Ratio> value, const char* at) {
      if (!value || !plausible(program, reading, *value)) return;
      std::string name = program.points[target.point].name;
      for (const Fact& fact : row.facts) name += (fact.telling ? "_" : "_" + fact.name + "_") + fact.value;
      text += fmt::format("{}_{}: {{{}given: {{{}: {}}}, verdicts: {{{}: fill_in}}}}\n", as_name(name), at, player(row),
                          program.points[target.point].name, to_text(*value, reading.unit),
                          program.points[target.point].name);
    };
    const auto limit = [&](std::optional<Ratio> value, const char* under, const char* at, const char* over) {
      if (!value) return;
      if (reading.read_to) add(subtract(*value, reading.read_to->value), under);
      add(value, at);
      if (reading.read_to) add(stringline::add(*value, reading.read_to->value), over);
    };
    limit(state.lo, "under_low", "at_low", "over_low");
    limit(state.hi, "under_high", "at_high", "over_high");
    return text.empty() ? "" : fmt::format("# {}\n{}", where, text);
  }

  std::string place_of(const Row& row) const { return words_at(row.place); }

  // "profiles/stick.yaml:14: humidity under 60 %RH", on one line.
  std::string words_at(Span span) const {
    std::string words(sources_.text(span.source).substr(span.begin, span.end - span.begin));
    words = words.substr(0, words.find('\n'));
    return fmt::format("{}:{}: {}", on_one_line(sources_.path(span.source)),
                       sources_.position(span.source, span.begin).line, words);
  }

  // Each value that a condition holds a reading against, one step of the tool to each side of it, and the reading missing.
  std::string around(const Program& program, const char* kind, const std::string& condition, const Typed& expr,
                     const char* key) const {
    std::string text;
    for (const Threshold& threshold : Thresholds(program).in(expr)) {
      const ReadingInfo& reading = program.reading_of(threshold.point);
      const std::string& point = program.points[threshold.point].name;
      const std::string name = fmt::format("{}_{}_{}", kind, condition, as_name(point));
      const auto add = [&](std::optional<Ratio> value, const char* at) {
        if (!value || !plausible(program, reading, *value)) return;
        text += fmt::format("{}_{}: {{given: {{{}: {}}}, {}: fill_in}}\n", name, at, point,
                            to_text(*value, reading.unit), key);
      };
      if (reading.read_to) add(subtract(threshold.value, reading.read_to->value), "under");
      add(threshold.value, "at");
      if (reading.read_to) add(stringline::add(threshold.value, reading.read_to->value), "over");
      text += fmt::format("{}_missing: {{given: {{{}: not_measurable}}, {}: fill_in}}\n", name, point, key);
    }
    return text.empty() ? "" : fmt::format("# {}\n{}", words_at(expr.span), text);
  }

  static std::string missing(const Program& program) {
    std::set<ReadingId> told;
    std::string text;
    for (const TargetInfo& target : program.targets) {
      const ReadingId id = program.points[target.point].reading;
      const ReadingInfo& reading = program.readings[id];
      if (reading.source == ReadingInfo::Source::computed || !told.insert(id).second) continue;
      text += fmt::format("{0}_missing: {{given: {{{0}: {1}}}, verdicts: {{{0}: fill_in}}}}\n", reading.name,
                          reading.assume ? "not_measurable" : "unknown");
    }
    return text.empty() ? "" : "# nobody has read it\n" + text;
  }

  const ProposalRequest& asked_;
  Sources& sources_;
  Diagnostics& out_;
  std::vector<std::unique_ptr<TrialsTree>> files_;  // the trials bound from them point there
};

}  // namespace

std::optional<std::string> propose_trials(const ProposalRequest& asked, Sources& sources, Diagnostics& out) {
  return Proposal(asked, sources, out).run();
}

}  // namespace stringline
