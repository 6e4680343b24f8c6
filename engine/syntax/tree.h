// The four kinds of file as their authors wrote them: names, expressions and places, no meaning yet.
// Absent keys are absent here too, so that a later layer can tell "not said" from "said again".
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/syntax/expr.h"
#include "engine/syntax/spoiled.h"
#include "engine/text/span.h"
#include "engine/value/date.h"
#include "engine/value/gauge.h"
#include "engine/value/money.h"

namespace stringline {

// A word or a free text with its place.
struct Word {
  std::string text;
  Span span;
};

// A leaf, or a table `by E:` of leaves (tables may nest).
template <class Leaf>
struct Choice;
template <class Leaf>
struct TableRow {
  RowKey key;
  Choice<Leaf> value;
};
template <class Leaf>
struct TableOf {
  Span span;  // the key `by E`
  ExprPtr selector;
  std::vector<TableRow<Leaf>> rows;
};
template <class Leaf>
struct Choice {
  Span span;
  std::variant<Leaf, std::shared_ptr<const TableOf<Leaf>>> node;
};
using ExprChoice = Choice<ExprPtr>;
using RangeChoice = Choice<RangeExpr>;
using NameChoice = Choice<Word>;  // a job's name; `none` where a later layer takes it away

// relief, action.bass, nut_gap.1..4, pickup_gap.neck.treble: from a dotted key or from nested maps.
struct KeyPath {
  Word name;
  std::vector<Word> members;
  Span span;
};

// {at: 12, held: [1, last]}: stations as written (a number, first, mid, last, body_joint, pickup, or a fact's name).
struct GapTree {
  Span span;
  Word at;
  std::optional<std::vector<Word>> held;  // absent: open string
};

struct FactTree {
  Word name;
  struct MapItem {
    Word key;
    ExprPtr value;
  };
  // an expression or a table | a list [E4, B3, ..] | a map {5: 5}
  std::variant<ExprChoice, std::vector<ExprPtr>, std::vector<MapItem>> value;
};

struct ChoiceTree {
  Word name;
  std::vector<Word> states;
};

// `is:` of a reading: a kind (length, cents, ..), states, or an expression over readings.
struct StatesTree {
  std::vector<Word> states;
};
struct ReadingTree {
  Word name;
  bool removed = false;  // NAME: none
  std::optional<std::vector<Word>> per;
  std::optional<GapTree> gap;
  std::optional<std::variant<Word, StatesTree, ExprPtr>> is;
  std::optional<Word> of;
  std::optional<Word> with;
  std::optional<Number> read_to;
  Span read_to_span;
  std::optional<Number> repeat;
  std::optional<RangeExpr> plausible;
  std::optional<Number> good_for;
  std::optional<Word> follows;
  ExprPtr assume;
  std::optional<Word> for_owner;
};

struct TargetTree {
  KeyPath key;
  bool removed = false;
  std::optional<Word> phase;
  ExprPtr when;
  std::optional<RangeChoice> range;
  std::optional<GapTree> gap;
  std::optional<NameChoice> low;
  std::optional<NameChoice> high;
  std::optional<ExprChoice> floor;
};

struct GateTree {
  Word name;
  bool removed = false;
  ExprPtr open_when;
  std::optional<std::vector<NameChoice>> jobs;  // do:
  std::optional<std::vector<KeyPath>> voids;    // `gaps` stands for every reading with a gap
  std::optional<std::vector<KeyPath>> holds;    // `visit` stands for the whole visit
  std::optional<Word> charge;
  std::optional<TextExpr> say;
  std::optional<TextExpr> for_owner;
};

struct StopTree {
  Word name;
  bool removed = false;
  ExprPtr when;
  std::optional<std::vector<NameChoice>> jobs;
  std::optional<std::vector<NameChoice>> offers;
  std::optional<Word> charge;
  std::optional<TextExpr> refer;  // to whom, in words
  std::optional<TextExpr> say;
  std::optional<TextExpr> for_owner;
};

struct RuleTree {
  Word name;
  bool removed = false;
  std::optional<Word> over_axis;  // for:
  ExprPtr when;
  std::optional<std::vector<NameChoice>> jobs;
  std::optional<std::vector<NameChoice>> offers;
  std::optional<TextExpr> because;
  std::optional<TextExpr> say;
  std::optional<TextExpr> for_owner;
  std::optional<std::vector<TextExpr>> choose;
};

struct SetTree {
  KeyPath reading;
  ExprPtr value;  // null: to its aim
};
struct TellTree {
  Word name;  // turns, file, cut, move
  ExprChoice value;
};
struct MinutesTree {
  Number low;
  Number typical;
  Number high;  // all three the same when one number is written
};
struct WaitTree {
  Number low;
  Number high;
};
struct JobTree {
  Word name;
  bool removed = false;
  std::optional<Word> label;
  std::optional<Word> phase;
  std::optional<bool> routine;
  std::optional<Word> moves;
  std::optional<ExprChoice> by;
  std::optional<std::vector<SetTree>> sets;
  std::optional<std::vector<KeyPath>> disturbs;  // `gaps`, `all`
  std::optional<std::vector<TellTree>> tell;
  std::optional<Number> work_to;
  std::optional<bool> removes;
  std::optional<Word> uses;
  std::optional<MinutesTree> minutes;
  std::optional<WaitTree> wait;
  std::optional<std::vector<TextExpr>> steps;
  std::optional<std::vector<TextExpr>> cautions;
  std::optional<bool> needs_yes;
  std::optional<TextExpr> if_left;
  std::optional<TextExpr> for_owner;
  std::optional<std::vector<TextExpr>> aftercare;
};

struct ProfileTree {
  SourceId source = 0;
  Word name;
  std::optional<Word> based_on;
  std::optional<Word> label;
  std::vector<FactTree> facts;
  std::vector<ChoiceTree> choices;
  std::vector<ReadingTree> readings;
  std::vector<TargetTree> targets;
  std::vector<GateTree> gates;
  std::vector<StopTree> stops;
  std::vector<RuleTree> rules;
  std::vector<JobTree> jobs;
  Spoiled spoiled;
};

struct PhaseTree {
  Word name;
  std::vector<Word> jobs;  // in their order; others follow by name
};
struct BenchTree {
  std::optional<Number> rate;  // money an hour
  std::optional<Number> step;
  std::optional<Number> minimum;
};
struct PackageTree {
  Word name;
  std::optional<Word> label;
  std::vector<Word> covers;  // phases or jobs
  std::vector<Word> except;  // jobs
  std::optional<ExprChoice> price;
  std::optional<Word> for_owner;
};
struct PriceTree {
  Word name;
  bool by_quote = false;
  std::optional<ExprChoice> amount;  // a flat amount
  std::optional<RangeExpr> between;  // or its two ends, both plain numbers
  std::optional<Number> each;        // an amount for every member
  std::optional<Number> at_most;
  std::optional<Word> includes;  // a package that is then not charged
  std::optional<Word> label;
  bool credited = false;  // a fee that comes off the bill when the owner goes ahead
};
struct PartTree {
  Word name;
  std::optional<Word> label;
  std::optional<Number> price;
  std::optional<Number> cost;   // instead of the price: the house's markup is added
  std::vector<Course> strings;  // a string set, string 1 first
};
struct RushTree {
  Word name;
  Number share;
};
struct TaxTree {
  std::optional<Number> rate;
  std::optional<Number> work;
  std::optional<Number> parts;
  std::optional<Number> fees;
  bool included = false;  // in the prices
  bool per_line = false;  // else rounded once on the sum of each rate
};
struct StorageTree {
  std::optional<Number> free;  // a time
  std::optional<Number> per_day;
};
enum class PaperKind : std::uint8_t { estimate, quote };
enum class DateForm : std::uint8_t { iso, day_month, month_day };
struct PaperTree {
  PaperKind kind = PaperKind::estimate;
  std::optional<Number> valid_for;  // times
  std::optional<Number> warranty;
  std::vector<Word> says;
};
struct HandoverTree {
  std::optional<Number> come_back;  // a time
  std::vector<Word> care;
};
enum class Decide : std::uint8_t { clear, prove, plain };

struct HouseTree {
  SourceId source = 0;
  Word name;
  std::optional<Word> label;
  std::optional<Word> address;
  std::optional<Word> phone;
  std::optional<Word> email;
  std::optional<Word> currency;
  std::optional<Unit> show_length;
  DateForm show_date = DateForm::iso;
  Decide decide = Decide::clear;
  std::vector<PhaseTree> order;
  BenchTree bench;
  std::vector<PackageTree> packages;
  std::vector<PriceTree> prices;
  std::vector<PartTree> parts;
  std::optional<ExprChoice> deposit;
  std::optional<Number> ask_again;  // over 10 %
  std::vector<RushTree> rush;
  TaxTree tax;  // one percentage is the rate of all
  MoneyRounding rounding = MoneyRounding::half_up;
  std::optional<Number> markup;
  std::optional<StorageTree> storage;
  PaperTree paper;
  HandoverTree handover;
};

struct StringsTree {
  std::optional<Word> set;      // a part of the house
  std::vector<Course> courses;  // or as written
  Span span;
};
struct InstrumentTree {
  std::optional<Word> id;
  std::optional<Word> label;
  std::optional<StringsTree> strings;
  std::optional<StringsTree> slots;
  std::vector<FactTree> facts;
};
struct PlayerTree {
  std::optional<Word> says;
  std::vector<Word> chords;
  std::vector<FactTree> facts;
};
struct MethodTree {
  KeyPath reading;
  GapTree gap;
};
struct WantTree {
  KeyPath reading;
  struct Leave {};
  std::variant<Leave, ExprPtr, RangeExpr> value;
  Span span;
};

// One reading as written. Several values are readings of the same thing: their mean counts.
struct ReadTree {
  KeyPath reading;
  struct Unknown {};
  struct Contact {};
  struct NotMeasurable {};
  std::variant<Unknown, Contact, NotMeasurable, std::vector<ExprPtr>, RangeExpr> value;
  std::optional<GapTree> as;
  Span span;
};
struct DidTree {
  Word job;  // its name, or its label as people say it; so in a consent
  std::optional<Number> amount;
  Span amount_span;
};
struct ConsentTree {
  std::vector<Word> jobs;
  std::optional<Number> up_to;
  std::optional<Number> amount;  // of the one job
  std::optional<Word> by;
  std::optional<Word> how;
};
struct WaitingTree {
  Word what;
  std::optional<Date> until;
};
struct StrikeTree {
  int entry = 0;  // as counted from 1
  Span entry_span;
  Word reason;
};
struct LogEntry {
  Span span;
  std::optional<Date> date;
  Span date_span;
  std::optional<Word> by;
  std::optional<Word> note;
  std::optional<Word> photo;
  std::vector<ReadTree> read;
  std::vector<DidTree> did;
  std::optional<Word> fitted;
  bool retuned = false;
  std::optional<ConsentTree> agreed;
  std::optional<ConsentTree> declined;
  std::optional<ConsentTree> asked;
  std::optional<WaitingTree> waiting;
  std::optional<StrikeTree> strike;
  bool closed = false;
  std::optional<Word> ending;  // closed: picked up
};

struct VisitTree {
  SourceId source = 0;
  Word id;
  std::optional<Word> profile;
  std::optional<Word> owner;  // a name
  std::optional<Word> owner_phone;
  std::optional<Word> owner_email;
  std::optional<Date> due;
  Span due_span;
  std::optional<Word> rush;
  std::optional<Word> package;  // `none`: no package
  std::vector<MethodTree> methods;
  InstrumentTree instrument;
  PlayerTree player;
  std::vector<WantTree> wants;
  std::vector<LogEntry> log;
  Span log_span;  // the whole list, for `note`
  Spoiled spoiled;
};

// What a trial expects. A key that is left out is not compared; stops and closed gates always are.
struct ExpectedVerdict {
  KeyPath reading;
  Word verdict;  // of WordSet::verdict
};
struct ExpectedAmount {
  KeyPath job;  // a member of what it sets may follow: lower_bridge.bass
  Word text;    // "0.40 mm down"
};
// A range as a person writes it, to be held against the profile's.
struct LimitsTree {
  KeyPath reading;
  RangeExpr range;
};
struct TrialTree {
  Word name;
  std::optional<Word> about;
  InstrumentTree instrument;
  PlayerTree player;
  std::optional<Word> package;
  std::vector<MethodTree> methods;
  std::vector<WantTree> wants;
  std::vector<ReadTree> last;
  std::vector<ReadTree> given;
  std::vector<LogEntry> log;
  std::vector<LimitsTree> limits;
  std::optional<std::vector<ExpectedVerdict>> verdicts;
  std::optional<std::vector<Word>> work;  // empty: `none`
  std::optional<std::vector<Word>> offers;
  std::optional<std::vector<Word>> rules;
  std::vector<ExpectedAmount> amounts;
  std::vector<Word> holds;
  std::vector<Word> stops;
  std::vector<Word> says;
};
struct TrialsTree {
  SourceId source = 0;
  Word profile;
  std::vector<PhaseTree> order;
  TrialTree usual;  // its instrument, player and readings alone
  std::vector<TrialTree> trials;
  Spoiled spoiled;
};

}  // namespace stringline
