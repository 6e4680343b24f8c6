// The bench log, typed. See passes.h.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/evaluate.h"
#include "engine/check/members.h"
#include "engine/check/passes.h"
#include "engine/check/ruled_out.h"
#include "engine/model/chord.h"

namespace stringline {
namespace {

struct LogBinder {
  const LayeredProfile& profile;
  Names& names;
  Binder& binder;
  const std::vector<MethodTree>& methods;
  const std::optional<StringsTree>& strings;
  std::set<std::uint32_t> told{};  // places of readings whose clash was reported

  struct Method {
    const MethodTree* tree;
    Gap gap;
    int exact;
    int groups;

    [[nodiscard]] auto rank() const { return std::pair(exact, groups); }
  };
  std::map<PointId, Method> method_at{};

  void wrong(const ReadTree& tree, const ReadingInfo& reading) {
    binder.out().report(
        Code::wrong_reading_kind, tree.span, fmt::format("'{}' is {}", reading.name, binder.describe(reading.type)),
        reading.type.kind == Kind::number ? fmt::format("write it as {}", to_text(Ratio(1), reading.unit)) : "");
  }

  // The value of one reading into `event`; false when a mistake was reported.
  bool value(const ReadTree& tree, const ReadingInfo& reading, ReadEvent& event) {
    if (std::holds_alternative<ReadTree::Unknown>(tree.value)) {
      event.form = ReadEvent::Form::unknown;
      return true;
    }
    if (std::holds_alternative<ReadTree::NotMeasurable>(tree.value)) {
      event.form = ReadEvent::Form::not_measurable;
      return true;
    }
    const Program& program = binder.program();
    const Nothing nothing(program);
    const Evaluator evaluator(program, nothing);
    if (std::holds_alternative<ReadTree::Contact>(tree.value)) {
      event.form = ReadEvent::Form::contact;
      if (reading.source == ReadingInfo::Source::gap && reading.read_to) {
        event.bound = {std::nullopt, reading.read_to->value, false};
        return true;
      }
      binder.out().report(Code::wrong_reading_kind, tree.span, "'contact' is for a gap whose tool says read_to:");
      return false;
    }
    if (const auto* range = std::get_if<RangeExpr>(&tree.value)) {
      event.form = ReadEvent::Form::bound;
      const auto bound = binder.bind_range(*range, reading.type, {}, fmt::format("'{}'", reading.name));
      if (!bound) return false;
      Unit unit = reading.unit;
      for (const TypedPtr& end : {bound->lo, bound->hi}) {
        if (!end) continue;
        const Value limit = evaluator.evaluate(*end).value;
        (end == bound->lo ? event.bound.lo : event.bound.hi) = limit.number.lo;
        unit = limit.unit;
      }
      return is_plausible(reading, event.bound, unit, tree.span, binder);
    }
    const auto& several = std::get<std::vector<ExprPtr>>(tree.value);
    if (several.size() > 1 && (reading.type.kind == Kind::state || reading.type.kind == Kind::truth)) {
      binder.out().report(
          Code::wrong_reading_kind, tree.span,
          fmt::format("'{}' is {}, and several of these have no mean", reading.name, binder.describe(reading.type)),
          "write the one that counts; only numbers are read several times");
      return false;
    }
    for (const ExprPtr& expr : several) {
      if (reading.type.kind == Kind::tuning) {
        const auto* pitch = std::get_if<PitchLiteral>(&expr->node);
        if (pitch != nullptr) {
          event.pitches.push_back(pitch->pitch);
          continue;
        }
        const TypedPtr fact = binder.bind_as(expr, reading.type, {}, fmt::format("'{}'", reading.name));
        if (!fact) return false;
        event.pitches = evaluator.evaluate(*fact).value.pitches.value_or(std::vector<Pitch>());
        continue;
      }
      const TypedPtr typed = binder.bind_as(expr, reading.type, {}, fmt::format("'{}'", reading.name));
      if (!typed) return false;
      const Result result = evaluator.evaluate(*typed);
      if (reading.type.kind == Kind::state)
        event.state = result.value.state;
      else if (reading.type.kind == Kind::truth)
        event.truth = result.truth() == Truth::yes;
      else if (result.value.number.lo) {
        event.numbers.push_back(*result.value.number.lo);
        event.unit = result.value.unit;
        if (!is_plausible(reading, result.value.number, event.unit, tree.span, binder)) return false;
      }
    }
    return true;
  }

  // How a reading at this point was taken, where it is not the profile's way: of two keys the narrower counts.
  void take_methods() {
    for (const MethodTree& tree : methods) {
      const auto reach = binder.reach(tree.reading);
      if (!reach || binder.program().readings[reach->reading].source != ReadingInfo::Source::gap) continue;
      const auto gap = bind_gap(tree.gap, profile, binder);
      if (!gap) continue;
      bool clash = false;
      for (const PointId point : reach->points) {
        const Method method{&tree, *gap, reach->exact, reach->groups};
        Method& now = method_at.try_emplace(point, method).first->second;
        if (now.rank() == method.rank() && now.gap.text != gap->text && !clash) {
          clash = true;
          binder.out().report(Code::groups_differ, tree.reading.span, "two methods are stated for the same member",
                              "write a key for each member that both reach",
                              {{now.tree->reading.span, "the other method"}});
        }
        if (now.rank() < method.rank()) now = method;
      }
    }
  }

  // One thing read, and how narrow its key is: of two keys for one member the narrower counts.
  struct Claim {
    ReadEvent event;
    int exact;
    int groups;

    [[nodiscard]] auto rank() const { return std::pair(exact, groups); }
  };

  // Of 3..9 both ends are members: what was read at others would be lost.
  bool ends_on_an_axis(const KeyPath& key, const ReadingInfo& reading) const {
    const Program& program = binder.program();
    for (const Word& member : key.members) {
      const std::size_t dots = member.text.find("..");
      if (dots == std::string::npos) continue;
      const std::string ends[] = {member.text.substr(0, dots), member.text.substr(dots + 2)};
      const auto is_member = [&](const std::string& end) {
        return std::any_of(reading.axes.begin(), reading.axes.end(), [&](Axis axis) {
          const auto named = members_named(program, axis, end);
          return named && !named->first.empty();
        });
      };
      const auto* missing = std::find_if_not(std::begin(ends), std::end(ends), is_member);
      if (missing == std::end(ends)) continue;
      binder.out().report(
          Code::unknown_member, member.span,
          fmt::format("'{}' of '{}' reaches '{}', which there is not", member.text, key.name.text, *missing));
      return false;
    }
    return true;
  }

  void read(const ReadTree& tree, std::vector<Claim>& claims) {
    const auto reach = binder.reach(tree.reading);
    if (!reach) return;
    const ReadingInfo reading = binder.program().readings[reach->reading];
    for (const Word& member : tree.reading.members) {
      if ((member.text == "wound" || member.text == "plain") && !binder.program().strings.front().gauge) {
        const bool named = strings && strings->set;  // in a house that was not read
        if (named && !told.insert(strings->set->span.begin).second) return;
        binder.out().report(Code::strings_not_known, member.span,
                            fmt::format("which strings are {} is not known{}", member.text,
                                        named ? ": no house says what '" + strings->set->text + "' is" : ""),
                            named ? "" : "write instrument: {strings: ..}");
        return;
      }
    }
    if (!ends_on_an_axis(tree.reading, reading)) return;
    if (tree.as && reading.source != ReadingInfo::Source::gap) {
      binder.out().report(Code::method_without_gap, tree.as->span,
                          fmt::format("'{}' is no gap under the string, so it is read in one way only", reading.name),
                          "leave out as:", {{reading.span, "the reading"}});
      return;
    }
    ReadEvent event;
    event.span = tree.span;
    event.unit = reading.unit;
    if (!value(tree, reading, event)) return;
    const std::optional<Gap> own = tree.as ? bind_gap(*tree.as, profile, binder) : std::nullopt;
    for (const PointId point : reach->points) {
      event.point = point;
      event.method = own;
      const auto method = method_at.find(point);
      if (!tree.as && method != method_at.end()) event.method = method->second.gap;
      if (event.method && reading.gap && event.method->text == reading.gap->text) event.method.reset();
      claims.push_back({event, reach->exact, reach->groups});
    }
  }

  static bool same_value(const ReadEvent& a, const ReadEvent& b) {
    return a.form == b.form && a.numbers == b.numbers && a.bound.lo == b.bound.lo && a.bound.hi == b.bound.hi &&
           a.state == b.state && a.truth == b.truth && a.pitches == b.pitches;
  }

  // The narrowest claim of each point; two of one rank that differ are a mistake.
  void settle(const std::vector<Claim>& claims, Entry& entry) {
    std::map<PointId, const Claim*> best;
    for (const Claim& claim : claims) {
      const Claim*& now = best[claim.event.point];
      const bool clash = now != nullptr && now->rank() == claim.rank() && !same_value(now->event, claim.event);
      if (clash && told.insert(claim.event.span.begin).second) {
        binder.out().report(
            Code::read_twice, claim.event.span,
            fmt::format("this entry says two things of '{}'", binder.program().points[claim.event.point].name),
            "write several readings of one thing as a list: [0.30 mm, 0.35 mm]; their mean counts",
            {{now->event.span, "the other value"}});
      }
      if (now == nullptr || now->rank() < claim.rank()) now = &claim;
    }
    for (const Claim& claim : claims) {
      if (best.at(claim.event.point) == &claim) entry.read.push_back(claim.event);
    }
  }

  // How far a job went is told in turns or as a length, as its control goes; of one without a control both may be told.
  void right_amount(const JobInfo& job, const Number& amount, Span span) {
    const Unit unit = amount.quantity.unit;
    if (!job.moves && (unit == Unit::none || unit == Unit::turns)) return;
    const Unit steps = job.work_to ? job.work_to->unit : Unit::none;
    const bool by_turns = job.moves == Control::neck_bend || steps == Unit::turns || !job.tell.empty();
    const bool length = info(unit).dimension == dimension::length;
    if (length || (unit == Unit::turns && by_turns) || (job.work_to && unit == steps)) return;
    const bool bare = unit == Unit::none;
    const Unit meant = by_turns ? Unit::turns : Unit::mm;
    binder.out().report(Code::wrong_amount, span,
                        fmt::format("how far '{}' went is told {}, not as '{}'", job.name,
                                    by_turns ? "in turns or as a length" : "as a length", amount.written),
                        bare ? fmt::format("write '{} {}'", amount.written, info(meant).written)
                             : fmt::format("such as '{}'", by_turns ? "1/8 turns" : "0.20 mm"));
  }

  // A set that is fitted has a string for each that is there.
  void right_number(const Word& set) {
    const std::vector<StringInfo>& there = binder.program().strings;
    if (names.house == nullptr || there.empty()) return;
    const auto courses = static_cast<std::size_t>(there.back().course);
    for (const PartTree& part : names.house->parts) {
      if (part.name.text != set.text || part.strings.empty() || part.strings.size() == courses) continue;
      binder.out().report(
          Code::strings_do_not_fit, set.span,
          fmt::format("'{}' has {} strings, the instrument has {}", set.text, part.strings.size(), courses),
          "name the set that was put on");
    }
  }

  // A job that another bridge, tuner or style would have, and this instrument has not. A slip that was struck is known.
  void at_home(const std::vector<Entry>& log) {
    const Program& program = binder.program();
    for (const Entry& entry : log) {
      for (const DidEvent& did : entry.did) {
        const auto out = entry.struck ? std::nullopt : ruled_out(program, did.job);
        if (!out) continue;
        std::string hint;
        if (out->instead) {
          const JobInfo& right = program.jobs[*out->instead];
          hint =
              fmt::format("here it is '{}'{}", right.name, right.label == right.name ? "" : " (" + right.label + ")");
        }
        binder.out().report(Code::job_not_here, did.span,
                            fmt::format("'{}' is no job for this instrument{}", program.jobs[did.job].name,
                                        out->why.empty() ? "" : ": " + out->why),
                            hint);
      }
    }
  }

  std::optional<Consent> consent(const std::optional<ConsentTree>& tree) {
    if (!tree) return std::nullopt;
    Consent bound;
    for (const Word& job : tree->jobs) {
      const char* package = "it needs no yes; name the jobs that are charged beside it";
      if (const auto id = names.logged_job(job, package, binder.out())) bound.jobs.push_back(*id);
      bound.span = job.span;
    }
    if (tree->up_to) bound.up_to = tree->up_to->quantity;
    return bound;
  }
};

}  // namespace

void bind_chords(const VisitTree& visit, Binder& binder) {
  Program& program = binder.program();
  std::size_t courses = 0;
  for (const StringInfo& string : program.strings) courses = std::max(courses, static_cast<std::size_t>(string.course));
  for (const Word& word : visit.player.chords) {
    const auto frets = model::parse_chord(word.text);
    if (!frets) {
      binder.out().report(Code::bad_chord, word.span, fmt::format("'{}' is no chord", word.text),
                          "thickest string first, x for one that is left out: x02220; frets over 9 with dashes");
    } else if (frets->size() != courses) {
      binder.out().report(
          Code::bad_chord, word.span,
          fmt::format("'{}' names {} strings, the instrument has {}", word.text, frets->size(), courses));
    } else if (courses == program.strings.size()) {
      program.chords.push_back(word.text);
    }
  }
}

namespace {

bool is_strike_alone(const LogEntry& entry) {
  const bool done = !entry.read.empty() || !entry.did.empty() || entry.fitted || entry.retuned;
  const bool said = entry.agreed || entry.declined || entry.asked || entry.waiting || entry.closed;
  return entry.strike && !done && !said;
}

}  // namespace

void bind_log(const VisitTree& visit, const LayeredProfile& profile, Names& names, Binder& binder) {
  LogBinder self{profile, names, binder, visit.methods, visit.instrument.strings};
  self.take_methods();
  std::vector<Entry>& log = binder.program().log;
  std::optional<Date> date;
  bool closed = false;
  for (const LogEntry& tree : visit.log) {
    Entry entry;
    entry.number = static_cast<int>(log.size()) + 1;
    entry.span = tree.span;
    if (tree.date) date = tree.date;
    if (!date) {
      binder.out().report(Code::no_first_date, tree.span, "the first log entry has no date",
                          "begin it with date: 2026-08-03");
      date = Date{};
    }
    entry.date = *date;
    if (closed) binder.out().report(Code::after_closed, tree.span, "the log goes on after it was closed");
    for (const DidTree& did : tree.did) {
      const auto job = names.logged_job(did.job, "name the jobs that were done", binder.out());
      if (!job) continue;
      if (did.amount) self.right_amount(binder.program().jobs[*job], *did.amount, did.amount_span);
      entry.did.push_back({*job, did.amount ? std::optional(did.amount->quantity) : std::nullopt, did.job.span});
    }
    if (tree.fitted) {
      entry.fitted = true;
      if (tree.fitted->text != "strings" && names.house != nullptr) names.part(*tree.fitted, binder.out());
      entry.fitted_name = tree.fitted->text;
      self.right_number(*tree.fitted);
    }
    entry.retuned = tree.retuned;
    std::vector<LogBinder::Claim> claims;
    for (const ReadTree& read : tree.read) self.read(read, claims);
    self.settle(claims, entry);
    entry.agreed = self.consent(tree.agreed);
    entry.declined = self.consent(tree.declined);
    entry.asked = self.consent(tree.asked);
    if (tree.waiting) entry.waiting = {tree.waiting->what.text, tree.waiting->until};
    if (tree.note) entry.note = tree.note->text;
    entry.closed = closed = tree.closed;
    if (tree.strike) {
      const int at = tree.strike->entry;
      if (at < 1 || at >= entry.number) {
        binder.out().report(Code::bad_strike, tree.strike->entry_span,
                            fmt::format("there is no entry {} before this one, which is entry {}", at, entry.number),
                            "entries are counted from 1");
      } else {
        Entry& slip = log[static_cast<std::size_t>(at) - 1];
        if (is_strike_alone(visit.log[static_cast<std::size_t>(at) - 1])) {
          binder.out().report(Code::bad_strike, tree.strike->entry_span,
                              fmt::format("entry {} strikes another, and a strike is not taken back", at),
                              "write the entry that was struck once more", {{slip.span, "that entry"}});
        } else if (slip.struck) {
          binder.out().report(Code::struck_twice, tree.strike->entry_span,
                              fmt::format("entry {} is struck already", at),
                              "entries are counted from 1, the struck ones too", {{slip.span, "that entry"}});
        }
        slip.struck = true;
      }
    }
    log.push_back(std::move(entry));
  }
  self.at_home(log);
}

}  // namespace stringline
