// See board.h.
#include "engine/book/board.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <tuple>

#include "engine/plan/words.h"
#include "engine/text/plain_name.h"

namespace stringline {
namespace {

using Form = PlanLine::Form;

bool is_reading(const PlanLine& line) { return line.form == Form::read_first || line.form == Form::read_again; }

void add_to(Ratio& sum, const std::optional<Ratio>& more) {
  const auto total = more ? add(sum, *more) : std::nullopt;
  if (total) sum = *total;
}

std::optional<Ratio> hours(const Quantity& quantity) { return divide(quantity.value, info(Unit::hour).factor); }

std::string line_text(const Program& program, const PlanLine& line) {
  if (is_reading(line)) {
    const char* again = line.form == Form::read_again ? " again" : "";
    return fmt::format("read{} {}", again, name_points(program, line.points));
  }
  return program.jobs[*line.job].label;
}

std::string joined(const std::vector<std::string>& names) { return fmt::format("{}", fmt::join(names, ", ")); }

std::vector<std::string> true_stops(const Program& program, const Judgement& judgement) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < program.stops.size(); ++i) {
    if (judgement.stops[i].truth == Truth::yes) names.push_back(plain_name(program.stops[i].name));
  }
  return names;
}

std::vector<std::string> holding_gates(const Program& program, const Judgement& judgement) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < program.gates.size(); ++i) {
    if (program.gates[i].holds_visit && judgement.gates[i].truth == Truth::no)
      names.push_back(plain_name(program.gates[i].name));
  }
  return names;
}

std::vector<std::string> rules_in_error(const Program& program, const Judgement& judgement) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < program.rules.size(); ++i) {
    if (judgement.rules[i].state == RuleState::error) names.push_back(program.rules[i].name);
  }
  return names;
}

using Waiting = std::pair<std::string, std::optional<Date>>;

// What the log waits for: the last one written, unless work went on after it.
std::optional<Waiting> waiting_of(const Program& program) {
  std::optional<Waiting> waiting;
  for (const Entry& entry : program.log) {
    if (entry.struck) continue;
    const bool went_on = entry.fitted || entry.retuned || !entry.did.empty() || !entry.read.empty() || entry.agreed ||
                         entry.declined || entry.asked;
    if (went_on) waiting.reset();
    if (entry.waiting) waiting = entry.waiting;
  }
  return waiting;
}

void count_work(const Program& program, const Plan& plan, BoardRow& row) {
  for (const PlanLine& line : plan.lines) {
    if (line.waits_for_yes) row.yes.push_back(program.jobs[*line.job].label);
    if (line.form != Form::job) continue;
    row.can_be_done_now = row.can_be_done_now || !line.waits_for_yes;
    const JobInfo& job = program.jobs[*line.job];
    if (job.minutes)
      add_to(row.minutes, job.minutes->value);
    else
      ++row.untimed;
    if (!job.wait) continue;
    add_to(row.wait_low, hours(job.wait->first));
    add_to(row.wait_high, hours(job.wait->second));
  }
}

void put(BoardRow& row, VisitState state, std::string what) {
  row.state = state;
  row.what = std::move(what);
}

// The first that holds of: a stop, a closed gate, a wait, work, a yes, a reading, a conflict, what a plan leaves open.
void decide(const Program& program, const Judgement& judgement, const Plan& plan, Date today, BoardRow& row) {
  const auto stops = true_stops(program, judgement);
  const auto gates = holding_gates(program, judgement);
  if (!stops.empty()) return put(row, VisitState::stopped, joined(stops));
  if (!gates.empty()) return put(row, VisitState::held, joined(gates));
  if (const auto waiting = waiting_of(program)) {
    if (!waiting->second || *waiting->second > today) {
      row.can_be_done_now = false;
      return put(row, VisitState::waiting,
                 waiting->first + (waiting->second ? ", until " + to_text(*waiting->second) : ""));
    }
    row.overdue_wait = fmt::format("{}, since {}", waiting->first, to_text(*waiting->second));
  }
  if (row.can_be_done_now) return put(row, VisitState::ready, line_text(program, plan.lines.front()));
  if (!row.yes.empty()) return put(row, VisitState::needs_yes, joined(row.yes));
  const auto reading = std::find_if(plan.lines.begin(), plan.lines.end(), is_reading);
  if (reading != plan.lines.end()) return put(row, VisitState::needs_reading, line_text(program, *reading));
  if (!plan.conflicts.empty()) {
    const Conflict& conflict = plan.conflicts.front();
    return put(row, VisitState::undecided,
               fmt::format("{} or {}", program.jobs[conflict.one].label, program.jobs[conflict.other].label));
  }
  const auto open = std::find_if(plan.left.begin(), plan.left.end(), [](const LeftAlone& left) { return left.open; });
  if (open != plan.left.end()) return put(row, VisitState::undecided, open->what + " is left open");
  put(row, VisitState::done, "nothing is left to do; close it");
}

// Everything that is known without judging.
void name_row(const HouseVisit& visit, BoardRow& row) {
  row.path = visit.path;
  row.visit = visit.tree ? visit.tree->id.text : std::filesystem::path(visit.path).stem().string();
  if (visit.tree == nullptr) return;
  row.due = visit.tree->due;
  if (visit.tree->owner) row.owner = visit.tree->owner->text;
  if (visit.tree->instrument.label) row.label = visit.tree->instrument.label->text;
}

BoardRow row_of(HouseVisits& visits, std::size_t at, Date today, const Sources& sources) {
  const HouseVisit* visit = visits.judged(at, today);
  BoardRow row;
  if (visit != nullptr)
    row = board_row(*visit->program, *visit->judgement, make_plan(*visit->program, *visit->judgement), today);
  else
    put(row, VisitState::mistakes, what_is_wrong(visits.all()[at], sources));
  name_row(visits.all()[at], row);
  visits.release(at);
  return row;
}

bool earlier(const BoardRow& a, const BoardRow& b) {
  return std::tuple(!a.due.has_value(), a.due.value_or(Date{}), a.visit, a.path) <
         std::tuple(!b.due.has_value(), b.due.value_or(Date{}), b.visit, b.path);
}

// Minutes at the bench and hours of waiting against whole days; what does not fit the arithmetic is too late.
bool fits(Ratio minutes, Ratio wait, std::int64_t days) {
  const auto bench = divide(minutes, Ratio(60 * bench_hours_a_day));
  const auto waiting = divide(wait, Ratio(24));
  const auto needed = bench && waiting ? add(*bench, *waiting) : std::nullopt;
  return needed && *needed <= Ratio(days);
}

}  // namespace

const char* to_text(VisitState state) {
  switch (state) {
    case VisitState::mistakes: return "mistakes";
    case VisitState::stopped: return "stopped";
    case VisitState::held: return "held";
    case VisitState::waiting: return "waiting";
    case VisitState::ready: return "ready";
    case VisitState::needs_yes: return "waiting for a yes";
    case VisitState::needs_reading: return "waiting for a reading";
    case VisitState::undecided: return "undecided";
    case VisitState::done: return "done";
  }
  return "";
}

BoardRow board_row(const Program& program, const Judgement& judgement, const Plan& plan, Date today) {
  BoardRow row;
  count_work(program, plan, row);
  const auto errors = rules_in_error(program, judgement);
  if (!errors.empty())
    put(row, VisitState::mistakes, fmt::format("in error: the rule {}", joined(errors)));
  else
    decide(program, judgement, plan, today, row);
  return row;
}

void count_days(std::vector<BoardRow>& rows, Date today) {
  Ratio so_far;
  for (BoardRow& row : rows) {
    if (!row.due) continue;
    row.days = days_between(today, *row.due);
    add_to(so_far, row.minutes);
    const std::int64_t whole = std::max<std::int64_t>(*row.days + 1, 0);
    row.too_late = *row.days < 0 || !fits(row.minutes, row.wait_low, whole);
    row.too_late_in_turn = !row.too_late && row.minutes > Ratio(0) && !fits(so_far, Ratio(0), whole);
  }
}

Board board(HouseVisits& visits, Date today, const Sources& sources, const Tell& tell) {
  Board out;
  out.today = today;
  if (visits.house() != nullptr) out.date_form = visits.house()->show_date;
  for (std::size_t at = 0; at < visits.all().size(); ++at) {
    if (tell) tell(at, visits.all().size());
    if (!visits.all()[at].closed) out.rows.push_back(row_of(visits, at, today, sources));
  }
  std::sort(out.rows.begin(), out.rows.end(), earlier);
  count_days(out.rows, today);
  for (const BoardRow& row : out.rows) {
    ++out.count[static_cast<std::size_t>(row.state)];
    add_to(out.minutes, row.minutes);
  }
  return out;
}

int status_of(const Board& board) {
  const auto any = [&](auto wanted) { return std::any_of(board.rows.begin(), board.rows.end(), wanted); };
  if (any([](const BoardRow& row) { return row.state == VisitState::mistakes; })) return 3;
  if (any([](const BoardRow& row) { return row.can_be_done_now; })) return 1;
  return any([](const BoardRow& row) { return row.state != VisitState::done; }) ? 4 : 0;
}

}  // namespace stringline
