// The typed program: one profile with all its layers, one house, and (for a visit) one instrument and its log.
// Flat and immutable; every name is an index, every value knows where it was written.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/check/typed.h"
#include "engine/model/range.h"
#include "engine/model/string_line.h"
#include "engine/syntax/tree.h"
#include "engine/value/date.h"
#include "engine/value/gauge.h"

namespace stringline {

// Where a value was set, and what it overrode, latest first.
struct Origin {
  Span span;
  std::vector<Span> overrode;
};

struct StateSet {
  std::string name;  // of the choice or reading it belongs to
  std::vector<std::string> states;
};

struct AxisMember {
  std::string name;  // bass, 3, 4a, 12, neck
  int number = 0;    // string or fret number; the place in the list for sides and pickups
};

// A string of the instrument in the order of its axis. Mates of a course are strings of their own.
struct StringInfo {
  int course = 1;                   // counted from the treble side
  std::optional<Gauge> gauge;       // absent while nobody said what is fitted
  std::optional<Gauge> slot_gauge;  // the one its nut slot was cut for
  std::optional<Pitch> pitch;
  int first_fret = 0;   // of a short string
  double scale_mm = 0;  // its own, where frets are fanned; 0 where nobody said (`Program::scale_of`)
};

struct FactInfo {
  std::string name;
  Type type;
  std::optional<TypedChoice<TypedPtr>> value;  // absent: nobody said
  Origin origin;
  bool used = false;  // by an expression, a station, a price or the program itself; a choice always counts as used
};

// A station on the string: a fret, or the pickup at hand.
struct Station {
  bool pickup = false;
  double fret = 0;     // `mid` may fall between two frets
  bool first = false;  // the first fret of the string at hand
};
struct Gap {
  Station at;
  std::vector<Station> held;  // ascending; empty: open string
  std::string text;           // "gap at fret 12, open"
};

struct ReadingInfo {
  std::string name;
  std::vector<Axis> axes;
  PointId first = 0;
  PointId count = 1;
  enum class Source : std::uint8_t { gap, measured, computed };
  Source source = Source::measured;
  Type type;
  std::optional<Gap> gap;
  TypedPtr formula;  // Source::computed
  std::string of;
  std::string with;
  std::string for_owner;  // its name in the owner's words; empty: none
  std::optional<Quantity> read_to;
  std::optional<Quantity> repeat;
  std::optional<TypedRange> plausible;
  std::optional<Quantity> good_for;
  std::string follows;  // a control
  TypedPtr assume;
  Unit unit = Unit::none;  // shown in, when nothing was written
  Span span;
  bool wrong = false;  // its axes or kind can not be read, which was told; never in a program that check gives out
};

struct PointInfo {
  ReadingId reading = 0;
  std::array<int, axis_count> at{-1, -1, -1, -1};  // member index on each axis
  std::string name;                                // nut_gap.2
};

struct Want {
  enum class Form : std::uint8_t { aim, range, leave };
  Form form = Form::aim;
  TypedPtr aim;
  TypedRange range;
  Span span;
};

struct TargetInfo {
  PointId point = 0;
  int phase = -1;  // place in the house's order; -1: judged, no turn
  TypedPtr when;
  std::optional<TypedChoice<TypedRange>> range;
  Origin range_origin;
  std::optional<Gap> gap;  // the method it is stated in, when not the reading's own
  std::optional<TypedChoice<std::optional<JobId>>> low;
  std::optional<TypedChoice<std::optional<JobId>>> high;
  std::optional<TypedChoice<TypedPtr>> floor;
  std::optional<Want> want;
  Span span;
};

using JobChoice = TypedChoice<std::optional<JobId>>;

struct GateInfo {
  std::string name;
  TypedPtr open_when;
  std::vector<JobChoice> jobs;
  std::vector<PointId> voids;
  std::vector<PointId> holds;
  std::vector<PointId> hangs_on;  // the readings that can open or close it
  bool holds_visit = false;
  std::string charge;
  std::optional<TypedText> say;
  std::optional<TypedText> for_owner;  // the same to the owner
  Span span;
};

struct StopInfo {
  std::string name;
  TypedPtr when;
  std::vector<JobChoice> jobs;
  std::vector<JobChoice> offers;
  std::string charge;
  std::optional<TypedText> refer;
  std::optional<TypedText> say;
  std::optional<TypedText> for_owner;  // the same to the owner
  Span span;
};

struct RuleInfo {
  std::string name;
  std::optional<Axis> over;
  TypedPtr when;
  std::vector<JobChoice> jobs;
  std::vector<JobChoice> offers;
  std::optional<TypedText> because;
  std::optional<TypedText> say;
  std::optional<TypedText> for_owner;  // the same to the owner
  std::vector<TypedText> choose;       // what he chooses between, the same for every member
  Span span;
};

enum class Control : std::uint8_t { neck_bend, nut_height, saddle_height, saddle_place, pickup_height, fret_plane };

struct JobInfo {
  std::string name;
  std::string label;
  int phase = -1;            // its own; -1: the turn of the target that calls it
  std::map<int, int> ranks;  // its place among the jobs that a phase names, by phase
  int place = 0;             // where it is not named: as the lists that call it have it, else by name (sequence.h)
  bool routine = false;
  std::optional<Control> moves;
  std::optional<TypedChoice<TypedPtr>> by;
  struct Set {
    std::vector<PointId> points;
    TypedPtr value;  // null: to its aim
  };
  std::vector<Set> sets;
  std::vector<PointId> disturbs;
  struct Tell {
    std::string name;
    TypedChoice<TypedPtr> value;
  };
  std::vector<Tell> tell;
  std::optional<Quantity> work_to;
  bool removes = false;
  std::string uses;
  std::optional<Quantity> minutes;  // typical, as plain minutes
  std::optional<std::pair<Quantity, Quantity>> minutes_span;
  std::optional<std::pair<Quantity, Quantity>> wait;
  std::vector<TypedText> steps;
  std::vector<TypedText> cautions;
  bool covered = false;    // by the visit's package
  bool needs_yes = false;  // until it is agreed
  std::optional<TypedText> if_left;
  std::optional<TypedText> for_owner;  // why it is needed, in the owner's words
  std::vector<TypedText> aftercare;    // what the owner should know or do once it is done
  Span span;

  // -1: that phase does not name it.
  [[nodiscard]] int rank_in(int in_phase) const {
    const auto found = ranks.find(in_phase);
    return found == ranks.end() ? -1 : found->second;
  }
};

// One thing in the bench log, typed.
struct ReadEvent {
  PointId point = 0;
  enum class Form : std::uint8_t { value, bound, contact, not_measurable, unknown };
  Form form = Form::value;
  std::vector<Ratio> numbers;  // base units; several: readings of the same thing
  Interval bound;
  Unit unit = Unit::none;
  std::optional<std::string> state;
  bool truth = false;
  std::vector<Pitch> pitches;
  std::optional<Gap> method;  // when not the reading's own
  Span span;
};
struct DidEvent {
  JobId job = 0;
  std::optional<Quantity> amount;
  Span span;
};
struct Consent {
  std::vector<JobId> jobs;
  std::optional<Quantity> up_to;
  Span span;
};
struct Entry {
  int number = 1;
  Date date;
  bool struck = false;
  bool fitted = false;
  std::string fitted_name;
  bool retuned = false;
  std::vector<DidEvent> did;
  std::vector<ReadEvent> read;
  std::optional<Consent> agreed;
  std::optional<Consent> declined;
  std::optional<Consent> asked;
  std::optional<std::pair<std::string, std::optional<Date>>> waiting;
  bool closed = false;
  std::string note;
  Span span;
};

struct PhaseInfo {
  std::string name;
  Span span;
};

// What the house asks, by name. Numbers are amounts in its currency, but for the deposit, which is a share of `total`. A name
// is missing where a table by profile says nothing for this profile.
struct HousePrices {
  std::map<std::string, TypedChoice<TypedPtr>> packages;
  std::map<std::string, TypedChoice<TypedPtr>> prices;  // of jobs and fees
  std::map<std::string, std::string> labels;            // of fees, where the house gives one
  std::optional<TypedChoice<TypedPtr>> deposit;
};

// What a trial says must come out. What is absent is not compared; closed gates and true stops always are.
struct Expected {
  struct Amount {
    JobId job = 0;
    PointId point = 0;
    std::string text;  // "0.40 mm down"
  };
  // What must be said of a reading at a limit or one step beyond it; all points at once.
  struct AtLimit {
    std::vector<PointId> points;
    Quantity value;
    Verdict verdict = Verdict::within;
  };
  std::vector<AtLimit> limits;
  std::optional<std::map<PointId, Verdict>> verdicts;  // no other reading may be out
  std::optional<std::vector<JobId>> work;
  std::optional<std::vector<JobId>> offers;
  std::optional<std::vector<std::string>> rules;
  std::vector<std::string> holds;  // gates
  std::vector<std::string> stops;
  std::vector<Amount> amounts;
  std::vector<std::string> says;
};

// A range, or the verdict on it, with the readings that can change it: its own and all that it is worked out from.
struct Standing {
  std::size_t target = 0;
  bool verdict = false;
  std::vector<PointId> hangs_on;  // by number
};

// The neck as the string under a reading sees it; `string` is that string's place on its axis.
struct GapPlace {
  model::NeckGeometry neck;
  model::GapRow row;
  int string = 0;
};

struct Program {
  std::string profile;
  std::string label;
  std::string house;
  Decide decide = Decide::clear;
  std::optional<Unit> show_length;

  std::array<std::vector<AxisMember>, axis_count> axes;
  std::array<bool, axis_count>
      wrong_axes{};  // what lays them out was told as a mistake; never so in what check gives out
  std::vector<StringInfo> strings;
  std::vector<StateSet> state_sets;
  std::vector<FactInfo> facts;
  std::vector<ReadingInfo> readings;  // by name
  std::vector<PointInfo> points;
  std::vector<TargetInfo> targets;  // by point
  std::vector<int> target_of;       // point -> place in targets, -1: none
  std::vector<Standing> standings;  // range and verdict of every target, each after what it is worked out from
  std::vector<GateInfo> gates;      // these by name
  std::vector<StopInfo> stops;
  std::vector<RuleInfo> rules;
  std::vector<JobInfo> jobs;
  std::vector<PhaseInfo> phases;  // the house's order
  HousePrices money;

  // the instrument, as the model wants it
  double scale_mm = 0;  // of a string that has none of its own
  int frets = 0;
  double body_joint = 0;
  bool zero_fret = false;
  double post_span_mm = 0;            // between the two posts of a bridge; 0: each side has screws of its own
  double string_span_mm = 0;          // of the outer strings there
  model::Range neck_shape{0.0, 1.0};  // phi of model/rod_job.h, as far as the shop knows it

  std::vector<std::optional<GapPlace>> gap_places;  // by point, each by its own method; nothing for what is no gap

  // the visit; empty for a check of house specs alone
  bool has_visit = false;
  std::string visit;
  std::string package;  // as it is called; empty: none
  std::vector<Entry> log;
  std::vector<std::string> chords;   // that the player names, thickest string first
  std::optional<Expected> expected;  // of a trial

  [[nodiscard]] double scale_of(std::size_t string) const {
    return string < strings.size() && strings[string].scale_mm > 0 ? strings[string].scale_mm : scale_mm;
  }
  [[nodiscard]] const TargetInfo* target(PointId point) const {
    const int at = target_of[point];
    return at < 0 ? nullptr : &targets[static_cast<std::size_t>(at)];
  }
  [[nodiscard]] const ReadingInfo& reading_of(PointId point) const { return readings[points[point].reading]; }
};

}  // namespace stringline
