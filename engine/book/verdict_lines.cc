// See verdict_lines.h.
#include "engine/book/verdict_lines.h"

#include <simdjson.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "engine/check/evaluate.h"

namespace stringline {
namespace {

using simdjson::ondemand::json_type;

constexpr std::size_t kinds_kept = 200;      // and as many heads again that were seen once
constexpr std::size_t points_kept = 12'000;  // of all kinds together: about 3 KiB each
constexpr std::size_t longest_head = 4096;   // a longer one is that of one instrument
constexpr std::int64_t most_digits = 100'000'000'000'000;

// Thrown where a line is not of the plain kind.
struct Unusual {};

template <class Result>
auto good(Result result) -> std::remove_cvref_t<decltype(std::move(result).value_unsafe())> {
  if (result.error() != simdjson::SUCCESS) throw Unusual{};
  return std::move(result).value_unsafe();
}

std::string_view trimmed(std::string_view token) {
  const std::size_t end = token.find_last_not_of(" \t\r\n");
  return token.substr(0, end == std::string_view::npos ? 0 : end + 1);
}

// A decimal as JSON and the language both write it, without an exponent.
struct Decimal {
  std::int64_t digits = 0;
  int places = 0;
};
Decimal decimal(std::string_view text) {
  Decimal found;
  const bool negative = !text.empty() && text.front() == '-';
  if (negative) text.remove_prefix(1);
  const std::size_t point = text.find('.');
  const std::size_t whole = std::min(point, text.size());
  if (whole == 0 || point + 1 == text.size() || (whole > 1 && text.front() == '0')) throw Unusual{};
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (i == point) continue;
    if (text[i] < '0' || text[i] > '9' || found.digits > most_digits) throw Unusual{};
    found.digits = 10 * found.digits + (text[i] - '0');
  }
  if (point != std::string_view::npos) found.places = static_cast<int>(text.size() - point - 1);
  if (found.places > 6) throw Unusual{};
  if (negative) found.digits = -found.digits;
  return found;
}

bool has_escape(std::string_view token) { return token.find('\\') != std::string_view::npos; }

}  // namespace

VerdictLines::Kind::Kind(const Program& from, std::string say) : program(from), judge(from), told(std::move(say)) {
  program.log.clear();
  const Nothing nothing(program);
  const Evaluator evaluator(program, nothing);
  for (PointId point = 0; point < program.points.size(); ++point) {
    const ReadingInfo& reading = program.reading_of(point);
    Reading about{reading.type.dimension == dimension::number, -HUGE_VAL, HUGE_VAL};
    const auto end = [&](const TypedPtr& expr, double none) {
      if (!expr) return none;
      const Result result = evaluator.evaluate(*expr);
      const auto& lo = result.value.number.lo;
      const auto counts = result.failure || !lo ? std::nullopt : multiply(*lo, Ratio(counts_per_unit));
      return counts && counts->den() == 1 ? counts->to_double() : std::nan("");  // no line is then within
    };
    if (reading.plausible) about.least = end(reading.plausible->lo, about.least);
    if (reading.plausible) about.most = end(reading.plausible->hi, about.most);
    readings.push_back(about);
    if (reading.source != ReadingInfo::Source::computed) points.emplace(program.points[point].name, point);
  }
}

// Walks one line; what it meets that is not plain ends it.
struct VerdictLines::Walker {
  using Kinds = std::map<std::string, std::unique_ptr<Kind>, std::less<>>;

  simdjson::ondemand::parser parser;
  std::string padded;
  std::string visit;
  std::string head;
  std::string name;
  std::vector<std::uint8_t> read;  // by point: in this line already
  Kind* kind = nullptr;
  Readings record;

  // True where the whole line was taken; else `head` is all its head, or empty where it is not plain.
  bool walk(std::string_view json, const Kinds& kinds) {
    padded.assign(json);
    padded.reserve(json.size() + simdjson::SIMDJSON_PADDING);
    auto document = good(parser.iterate(padded.data(), json.size(), padded.capacity()));
    head.clear();
    visit.clear();
    kind = nullptr;
    bool has_log = false;
    std::size_t head_at_log = 0;
    for (auto entry : good(document.get_object())) {
      auto field = good(std::move(entry));
      const std::string_view key = good(field.unescaped_key());
      if (key == "visit") {
        if (!visit.empty()) throw Unusual{};
        visit = good(field.value().get_string());
        if (visit.empty()) throw Unusual{};
      } else if (key == "log") {
        if (has_log || visit.empty()) throw Unusual{};  // its first key tells what it is
        has_log = true;
        head_at_log = head.size();
        const auto known = kinds.find(head);
        kind = known == kinds.end() ? nullptr : known->second.get();
        if (kind != nullptr) log(field.value());
      } else if (key == "owner") {
        if (good(field.value().get_string()).empty()) throw Unusual{};
      } else if (key == "profile" || key == "player" || key == "instrument") {
        add_to_head(key, field.value());
      } else {
        throw Unusual{};
      }
    }
    if (!has_log || document.current_location().error() != simdjson::OUT_OF_BOUNDS) throw Unusual{};
    return kind != nullptr && head_at_log == head.size();
  }

  void add_to_head(std::string_view key, simdjson::ondemand::value value) {
    head.append(key).push_back('\n');
    if (good(value.type()) == json_type::object)
      head.append(good(good(value.get_object()).raw_json()));
    else
      head.append(trimmed(value.raw_json_token()));
    head.push_back('\n');
  }

  // One entry: its day and what it read.
  void log(simdjson::ondemand::value value) {
    std::size_t entries = 0;
    bool has_date = false;
    bool has_read = false;
    record = kind->judge.blank();
    read.assign(kind->program.points.size(), 0);
    for (auto item : good(value.get_array())) {
      if (++entries > 1) throw Unusual{};
      for (auto entry : good(good(std::move(item)).get_object())) {
        auto field = good(std::move(entry));
        const std::string_view key = good(field.unescaped_key());
        if (key == "date" && !has_date) {
          has_date = parse_date(good(field.value().get_string())).has_value();
        } else if (key == "read" && !has_read) {
          has_read = true;
          readings(field.value());
        } else {
          throw Unusual{};
        }
      }
    }
    if (!has_date || !has_read) throw Unusual{};
  }

  void readings(simdjson::ondemand::value value) {
    for (auto entry : good(value.get_object())) {
      auto field = good(std::move(entry));
      const std::string_view key = good(field.unescaped_key());
      if (good(field.value().type()) != json_type::object) {
        reading(key, field.value());
        continue;
      }
      name.assign(key).push_back('.');
      const std::size_t stem = name.size();
      for (auto member : good(field.value().get_object())) {
        auto each = good(std::move(member));
        name.resize(stem);
        name.append(good(each.unescaped_key()));
        reading(name, each.value());
      }
    }
  }

  void reading(std::string_view of, simdjson::ondemand::value value) {
    const auto found = kind->points.find(of);
    if (found == kind->points.end() || std::exchange(read[found->second], 1) != 0) throw Unusual{};
    const PointId point = found->second;
    const ReadingInfo& reading = kind->program.reading_of(point);
    const Kind::Reading& about = kind->readings[point];
    switch (good(value.type())) {
      case json_type::number: {
        if (!about.plain || reading.type.kind != stringline::Kind::number) throw Unusual{};
        const Decimal number = decimal(trimmed(value.raw_json_token()));
        static constexpr std::array<std::int64_t, 7> place{16'000'000, 1'600'000, 160'000, 16'000, 1'600, 160, 16};
        const std::int64_t each = place[static_cast<std::size_t>(number.places)];
        if (std::abs(number.digits) > largest_count / each) throw Unusual{};
        return put(point, about, number.digits * each);
      }
      case json_type::string: {
        const std::string_view token = trimmed(value.raw_json_token());
        if (has_escape(token)) throw Unusual{};
        return text(point, reading, about, token.substr(1, token.size() - 2));
      }
      case json_type::boolean:
        if (reading.type.kind != stringline::Kind::truth) throw Unusual{};
        return record.truth(point, good(value.get_bool()));
      default: throw Unusual{};
    }
  }

  void put(PointId point, const Kind::Reading& about, std::int64_t counts) {
    const auto value = static_cast<double>(counts);
    if (!(value >= about.least && value <= about.most)) throw Unusual{};
    record.counts(point, counts);
  }

  // A state, or a decimal with its unit.
  void text(PointId point, const ReadingInfo& reading, const Kind::Reading& about, std::string_view said) {
    if (reading.type.kind == stringline::Kind::state) {
      const auto& states = kind->program.state_sets[reading.type.states].states;
      const auto found = std::find(states.begin(), states.end(), said);
      if (found == states.end()) throw Unusual{};
      return record.state(point, static_cast<std::size_t>(found - states.begin()));
    }
    const std::size_t space = said.find(' ');
    if (reading.type.kind != stringline::Kind::number || reading.type.difference || space == std::string_view::npos)
      throw Unusual{};
    const auto unit = find_unit(said.substr(space + 1));
    if (!unit || *unit == Unit::none || !(info(*unit).dimension == reading.type.dimension)) throw Unusual{};
    const Decimal number = decimal(said.substr(0, space));
    std::int64_t parts = 1;
    for (int i = 0; i < number.places; ++i) parts *= 10;
    const auto written = Ratio::make(number.digits, parts);
    const auto quantity = written ? make_quantity(*written, *unit) : std::nullopt;
    const auto counts = quantity ? multiply(quantity->value, Ratio(counts_per_unit)) : std::nullopt;
    if (!counts || counts->den() != 1 || std::abs(counts->num()) > largest_count) throw Unusual{};
    put(point, about, counts->num());
  }
};

VerdictLines::VerdictLines() : walker_(std::make_unique<Walker>()) {}
VerdictLines::~VerdictLines() = default;

std::optional<VerdictLines::Line> VerdictLines::take(std::string_view json) {
  head_.clear();
  try {
    if (walker_->walk(json, kinds_)) return Line{walker_->kind, walker_->visit, std::move(walker_->record)};
    if (walker_->head.size() <= longest_head) head_ = walker_->head;
  } catch (const Unusual&) {
  }
  return std::nullopt;
}

// A kind is made when its head comes the second time: many heads come once.
void VerdictLines::learn(const OpenVisit& visit, const Diagnostics& told, const std::string& as_json) {
  const auto known = kinds_.find(head_);
  if (head_.empty() || (known != kinds_.end() && known->second)) return;
  if (known == kinds_.end()) {
    if (kinds_.size() < 2 * kinds_kept) kinds_.emplace(head_, nullptr);
    return;
  }
  const Program& program = visit.program;
  const bool wants = std::any_of(program.targets.begin(), program.targets.end(),
                                 [](const TargetInfo& target) { return target.want.has_value(); });
  std::size_t made = 0;
  std::size_t points = program.points.size();
  for (const auto& [head, each] : kinds_) {
    if (!each) continue;
    ++made;
    points += each->program.points.size();
  }
  const bool of_visit = std::any_of(told.list().begin(), told.list().end(),
                                    [&](const Diagnostic& each) { return each.span.source == visit.tree->source; });
  if (wants || of_visit || made >= kinds_kept || points > points_kept) return;
  auto kind = std::make_unique<Kind>(program, as_json);
  const bool has_past = kind->judge.looks_back() && visit.tree->instrument.id;
  if (kind->judge.refused().empty() && !has_past) known->second = std::move(kind);
}

}  // namespace stringline
