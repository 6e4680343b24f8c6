// See drift.h.
#include "engine/book/drift.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>
#include <tuple>

#include "engine/judge/instrument.h"
#include "engine/plan/words.h"

namespace stringline {
namespace {

// The smallest (largest) distance between a value of `a` and one of `b`; nothing where it does not fit or has no end.
std::optional<Ratio> nearest(const Interval& a, const Interval& b) {
  if (a.hi && b.lo && *a.hi < *b.lo) return subtract(*b.lo, *a.hi);
  if (b.hi && a.lo && *b.hi < *a.lo) return subtract(*a.lo, *b.hi);
  return Ratio(0);
}

std::optional<Ratio> farthest(const Interval& a, const Interval& b) {
  if (!a.lo || !a.hi || !b.lo || !b.hi) return std::nullopt;
  const auto up = subtract(*b.hi, *a.lo);
  const auto down = subtract(*a.hi, *b.lo);
  return up && down ? std::optional(std::max(*up, *down)) : std::nullopt;
}

}  // namespace

const char* to_text(Moved moved) {
  switch (moved) {
    case Moved::no: return "no";
    case Moved::yes: return "yes";
    case Moved::can_not_tell: return "can not tell";
  }
  return "";
}

Moved moved(const Interval& a, Ratio a_square, const Interval& b, Ratio b_square) {
  const auto sum = add(a_square, b_square);
  const auto limit = sum ? divide(*sum, Ratio(3)) : std::nullopt;
  const auto least = nearest(a, b);
  if (!limit || !least) return Moved::can_not_tell;
  if (compare_square(*least, *limit) > 0) return Moved::yes;
  const auto most = farthest(a, b);
  return most && compare_square(*most, *limit) <= 0 ? Moved::no : Moved::can_not_tell;
}

namespace {

// One visit, asked for readings by name.
class Reader {
 public:
  explicit Reader(const SeenVisit& visit) : program_(*visit.program), judgement_(*visit.judgement) {}

  [[nodiscard]] const Program& program() const { return program_; }

  [[nodiscard]] std::optional<PointId> point(const std::string& name) const {
    for (PointId id = 0; id < program_.points.size(); ++id) {
      if (program_.points[id].name == name) return id;
    }
    return std::nullopt;
  }

  [[nodiscard]] std::string reading(PointId point) const {
    std::string words = program_.reading_of(point).name;
    std::replace(words.begin(), words.end(), '_', ' ');
    return words;
  }

  // Somebody wrote a value for it, whatever came of it.
  [[nodiscard]] bool was_read(PointId point) const {
    const PointState& state = judgement_.points[point];
    const bool computed = program_.reading_of(point).source == ReadingInfo::Source::computed;
    return state.entry > 0 && !computed && state.status != PointState::Status::not_read;
  }

  [[nodiscard]] bool has_value(PointId point) const {
    return was_read(point) && judgement_.points[point].status == PointState::Status::read;
  }

  // Why it has none.
  [[nodiscard]] std::string no_value(PointId point) const {
    const PointState& state = judgement_.points[point];
    if (state.status == PointState::Status::not_measurable) return "not measurable";
    return fmt::format("not read again after: {}", state.stale_by);
  }

  [[nodiscard]] const Gap* method(PointId point) const {
    const auto& read = judgement_.points[point].method;
    if (read) return &*read;
    const auto& own = program_.reading_of(point).gap;
    return own ? &*own : nullptr;
  }

  // The target's limits; nothing where it is stated by another method.
  [[nodiscard]] std::pair<std::optional<Ratio>, std::optional<Ratio>> limits(PointId point, const Gap* by) const {
    const TargetInfo* target = program_.target(point);
    if (target == nullptr) return {};
    const auto& own = program_.reading_of(point).gap;
    const Gap* stated = target->gap ? &*target->gap : own ? &*own : nullptr;
    if (stated != nullptr && (by == nullptr || by->text != stated->text)) return {};
    const TargetState& state = judgement_.targets[static_cast<std::size_t>(program_.target_of[point])];
    return {state.lo, state.hi};
  }

  // By `wanted`, or by the method it was read by where that is null; nothing where the readings do not determine it.
  [[nodiscard]] std::optional<DriftValue> value(PointId point, const Gap* wanted = nullptr) const {
    const Gap* read_by = method(point);
    if (wanted != nullptr && read_by != nullptr && read_by->text != wanted->text)
      return converted(point, *wanted, read_by->text);
    const PointState& state = judgement_.points[point];
    const ReadingInfo& reading = program_.reading_of(point);
    DriftValue out;
    out.value = state.value;
    out.text = state.contact ? "contact" : in_words(state.value);
    out.verdict = verdict(point);
    out.date = judgement_.points[point].date;
    const Ratio d = reading.read_to ? reading.read_to->value : Ratio(0);
    const auto square = multiply(d, d);
    if (!square) return std::nullopt;
    out.square = *square;
    return out;
  }

 private:
  [[nodiscard]] std::optional<DriftValue> converted(PointId point, const Gap& wanted, const std::string& from) const {
    if (!instrument_) instrument_ = std::make_unique<Instrument>(program_, judgement_.points);
    const auto found = instrument_->value(point, wanted);
    const auto square = found ? Ratio::ceil_of(12.0 * found->u * found->u) : std::nullopt;
    if (!square) return std::nullopt;
    DriftValue out;
    out.value = judgement_.points[point].value;
    out.value.number = Interval::estimated(found->value.lo, found->value.hi);
    out.text = shown(program_, judgement_, point, found->value);
    out.square = *square;
    out.converted_from = from;
    out.verdict = verdict(point);
    out.date = judgement_.points[point].date;
    return out;
  }

  [[nodiscard]] std::optional<Verdict> verdict(PointId point) const {
    const int target = program_.target_of[point];
    if (target < 0) return std::nullopt;
    return judgement_.targets[static_cast<std::size_t>(target)].verdict;
  }

  const Program& program_;
  const Judgement& judgement_;
  mutable std::unique_ptr<const Instrument> instrument_;
};

Moved moved_between(const DriftValue& then, const DriftValue& now) {
  if (now.value.kind == Kind::number) return moved(then.value.number, then.square, now.value.number, now.square);
  const bool same = then.value.state == now.value.state && then.value.truth == now.value.truth &&
                    then.value.pitches == now.value.pitches;
  return same ? Moved::no : Moved::yes;
}

// The two by one method: the later one's, else the earlier one's. False where neither determines the other.
bool pair_up(const Reader& then, PointId a, const Reader& now, PointId b, DriftRow& row) {
  const Gap* before = then.method(a);
  const Gap* after = now.method(b);
  row.method = after != nullptr ? after->text : "";
  row.then = then.value(a, after);
  row.now = now.value(b);
  if (row.then && row.now) return true;
  row.then = then.value(a);
  row.now = now.value(b, before);
  if (row.then && row.now) {
    row.method = before != nullptr ? before->text : "";
    return true;
  }
  row.now = now.value(b);
  row.method.clear();
  row.why_not =
      before == nullptr || after == nullptr
          ? "it does not fit the exact arithmetic"
          : fmt::format("read as {} then and as {} now; neither visit's readings say what the other would show",
                        before->text, after->text);
  return false;
}

bool same_kind(const ReadingInfo& a, const ReadingInfo& b) {
  return a.type.kind == b.type.kind && a.type.dimension == b.type.dimension && a.gap.has_value() == b.gap.has_value();
}

DriftRow row_of(const Reader& then, std::optional<PointId> a, const Reader& now, std::optional<PointId> b) {
  DriftRow row;
  const Reader& known = b ? now : then;
  row.name = known.program().points[b ? *b : *a].name;
  row.reading = known.reading(b ? *b : *a);
  row.member = member_of(known.program(), b ? *b : *a);
  row.counted = counted_by(known.program().reading_of(b ? *b : *a));
  const bool was = a && then.has_value(*a);
  const bool is = b && now.has_value(*b);
  if (was && is && !same_kind(then.program().reading_of(*a), now.program().reading_of(*b))) {
    row.why_not = "the two profiles mean different things by it";
  } else if (was && is) {
    if (!pair_up(then, *a, now, *b, row)) return row;
    row.moved = moved_between(*row.then, *row.now);
    if (row.now->value.kind != Kind::number) return row;
    row.change = subtract(row.now->value.number, row.then->value.number);
    row.limit = std::sqrt((row.then->square.to_double() + row.now->square.to_double()) / 3.0);
    return row;
  } else if (was) {
    row.why_not = b && now.was_read(*b) ? "now " + now.no_value(*b) : "not read now";
  } else if (is) {
    row.why_not = a && then.was_read(*a) ? "then " + then.no_value(*a) : "not read then";
  } else {
    row.why_not = a && then.was_read(*a) ? "then " + then.no_value(*a) : "now " + now.no_value(*b);
  }
  if (was) row.then = then.value(*a);
  if (is) row.now = now.value(*b);
  return row;
}

// Every name that somebody read: the later visit's in its order, then what only the earlier one has.
std::vector<std::string> names_read(const std::vector<const Reader*>& latest_first) {
  std::vector<std::string> names;
  std::set<std::string> seen;
  for (const Reader* reader : latest_first) {
    for (PointId id = 0; id < reader->program().points.size(); ++id) {
      const std::string& name = reader->program().points[id].name;
      if (reader->was_read(id) && seen.insert(name).second) names.push_back(name);
    }
  }
  return names;
}

std::vector<Circumstance> circumstances_of(const Program& then, const Program& now) {
  return {{"profile", then.profile, now.profile},
          {"tuning", pitches_of(then), pitches_of(now)},
          {"strings", gauges_of(then), gauges_of(now)}};
}

// What was done in the entries from `first` on (their numbers).
void work_of(const Program& program, int first, std::vector<WorkDone>& out) {
  for (const Entry& entry : program.log) {
    if (entry.struck || entry.number < first) continue;
    const auto add = [&](std::string text) { out.push_back({program.visit, entry.date, std::move(text)}); };
    if (entry.fitted)
      out.push_back({program.visit, entry.date,
                     entry.fitted_name.empty() ? "new strings" : fmt::format("new strings ({})", entry.fitted_name),
                     entry.fitted_name});
    if (entry.retuned) add("retuned");
    for (const DidEvent& did : entry.did) {
      const std::string amount = did.amount ? ", " + to_text(did.amount->value, did.amount->unit) : "";
      add(program.jobs[did.job].label + amount);
    }
  }
}

int after_last_reading(const Program& program) {
  int number = 0;
  for (const Entry& entry : program.log) {
    if (!entry.struck && !entry.read.empty()) number = entry.number;
  }
  return number + 1;
}

bool is_climate(const Program& program, PointId point) {
  const Dimension of = program.reading_of(point).type.dimension;
  return of == dimension::humidity || of == dimension::temperature;
}

}  // namespace

std::string pitches_of(const Program& program) {
  std::string out;
  for (const StringInfo& string : program.strings)
    out += (out.empty() ? "" : " ") + (string.pitch ? string.pitch->written : std::string("?"));
  return out;
}

std::string gauges_of(const Program& program) {
  std::string out;
  for (const StringInfo& string : program.strings) {
    const auto thou = string.gauge ? in_unit(string.gauge->diameter, Unit::thou) : std::nullopt;
    out += out.empty() ? "" : " ";
    out += thou ? to_decimal(*thou) + (string.gauge->wound ? "w" : "p") : std::string("?");
  }
  return out;
}

std::vector<WorkDone> work_done(const Program& program) {
  std::vector<WorkDone> work;
  work_of(program, 1, work);
  return work;
}

Drift drift(const SeenVisit& then, const SeenVisit& now, const std::vector<SeenVisit>& between) {
  const Reader before(then);
  const Reader after(now);
  Drift out;
  out.circumstances = circumstances_of(*then.program, *now.program);
  for (const std::string& name : names_read({&after, &before})) {
    const auto a = before.point(name);
    const auto b = after.point(name);
    const bool climate = b ? is_climate(*now.program, *b) : is_climate(*then.program, *a);
    (climate ? out.climate : out.rows).push_back(row_of(before, a, after, b));
  }
  work_of(*then.program, after_last_reading(*then.program), out.work);
  for (const SeenVisit& visit : between) work_of(*visit.program, 1, out.work);
  work_of(*now.program, 1, out.work);
  return out;
}

namespace {

HistoryCell cell_of(const Reader& reader, const std::string& name, const Gap* method, const ReadingInfo& kind) {
  HistoryCell cell;
  const auto point = reader.point(name);
  if (!point || !reader.has_value(*point)) return cell;
  cell.comparable = same_kind(kind, reader.program().reading_of(*point));
  if (cell.comparable) cell.value = reader.value(*point, method);
  if (cell.value) return cell;
  cell.comparable = false;
  cell.value = reader.value(*point);
  return cell;
}

}  // namespace

History history(const std::vector<SeenVisit>& visits) {
  std::vector<std::unique_ptr<const Reader>> readers;
  std::vector<const Reader*> latest_first;
  History out;
  for (const SeenVisit& visit : visits) {
    readers.push_back(std::make_unique<const Reader>(visit));
    latest_first.insert(latest_first.begin(), readers.back().get());
    work_of(*visit.program, 1, out.work);
  }
  for (const std::string& name : names_read(latest_first)) {
    const auto has = [&](const Reader* reader) {
      const auto point = reader->point(name);
      return point && reader->has_value(*point);
    };
    const auto last = std::find_if(latest_first.begin(), latest_first.end(), has);
    if (last == latest_first.end()) continue;
    const PointId point = *(*last)->point(name);
    const Gap* method = (*last)->method(point);
    HistoryRow row;
    row.name = name;
    row.reading = (*last)->reading(point);
    row.member = member_of((*last)->program(), point);
    row.counted = counted_by((*last)->program().reading_of(point));
    row.method = method != nullptr ? method->text : "";
    std::tie(row.lowest, row.highest) = (*last)->limits(point, method);
    std::optional<DriftValue> previous;
    for (const auto& reader : readers) {
      row.cells.push_back(cell_of(*reader, name, method, (*last)->program().reading_of(point)));
      HistoryCell& cell = row.cells.back();
      if (!cell.value || !cell.comparable) continue;
      if (previous) cell.moved = moved_between(*previous, *cell.value);
      previous = cell.value;
    }
    out.rows.push_back(std::move(row));
  }
  return out;
}

}  // namespace stringline
