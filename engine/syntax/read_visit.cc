// The visit file: who and what is on the bench, and the log.
// Tested by tests/unit/read_visit_test.cc.
#include "engine/syntax/read_visit.h"

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

#include "engine/syntax/key_reader.h"
#include "engine/syntax/read_choice.h"
#include "engine/syntax/read_number.h"
#include "engine/syntax/read_path.h"

namespace stringline {
namespace {

// Readings ---------------------------------------------------------------------------

using ReadValue = decltype(ReadTree::value);

// What a tool or an eye can say: a number, a pitch, a truth, one word.
bool is_written_value(const Expr& expr) {
  struct Visitor {
    bool operator()(const Number&) const { return true; }
    bool operator()(const PitchLiteral&) const { return true; }
    bool operator()(const TruthLiteral&) const { return true; }
    bool operator()(const Name& name) const { return name.members.empty(); }
    bool operator()(const Unary& unary) const {
      return unary.op == UnaryOp::negate && std::holds_alternative<Number>(unary.operand->node);
    }
    bool operator()(const Binary&) const { return false; }
    bool operator()(const OneOf&) const { return false; }
    bool operator()(const Conditional&) const { return false; }
    bool operator()(const Call&) const { return false; }
  };
  return std::visit(Visitor{}, expr.node);
}

ExprPtr read_written_value(const Node& node, Diagnostics& out) {
  auto value = read_expression(node, out);
  if (!value || is_written_value(*value)) return value;
  out.report(Code::not_a_reading, node.span, "'" + node.text + "' is a calculation, not a reading",
             "write what the tool said");
  return nullptr;
}

std::optional<ReadValue> word_for_unread(std::string_view text) {
  if (text == "unknown") return ReadTree::Unknown{};
  if (text == "contact") return ReadTree::Contact{};
  if (text == "not_measurable") return ReadTree::NotMeasurable{};
  return std::nullopt;
}

std::optional<ReadValue> read_one_reading(const Node& node, Diagnostics& out) {
  if (const auto word = word_for_unread(node.text)) return word;
  if (looks_like_range(node.text)) {
    auto range = parse_range(node, out);
    return range ? std::optional<ReadValue>(std::move(*range)) : std::nullopt;
  }
  auto value = read_written_value(node, out);
  return value ? std::optional<ReadValue>(std::vector<ExprPtr>{std::move(value)}) : std::nullopt;
}

// [8 thou, 9 thou]: the same reading several times.
std::optional<ReadValue> read_repeated(const Node& list, Diagnostics& out) {
  const std::size_t before = out.error_count();
  std::vector<ExprPtr> values;
  for (const Node* item : one_or_list(list, out)) {
    if (item->is_scalar() && (word_for_unread(item->text) || looks_like_range(item->text))) {
      out.report(Code::bad_form, item->span, "'" + item->text + "' can not be one of several readings",
                 "a list repeats one reading; all of its items are values");
      continue;
    }
    if (auto value = read_written_value(*item, out)) values.push_back(std::move(value));
  }
  return out.error_count() > before ? std::nullopt : std::optional<ReadValue>(std::move(values));
}

std::optional<ReadValue> read_reading(const Node& node, Diagnostics& out) {
  if (node.is_list()) return read_repeated(node, out);
  if (!want_scalar(node, "a reading", out)) return std::nullopt;
  return read_one_reading(node, out);
}

bool has_key(const Node& map, KeyContext context) {
  return std::any_of(map.entries.begin(), map.entries.end(),
                     [&](const MapEntry& entry) { return find_key(context, entry.key.text) != nullptr; });
}

bool is_taken(const Node& map) { return has_key(map, KeyContext::taken); }

// {is: 1.6 mm, as: {at: 17, held: [1]}}
const KeyHandlers<ReadTree>& taken_keys() {
  static const KeyHandlers<ReadTree> keys{
      {"is", set_value<&ReadTree::value, read_reading>},
      {"as", set<&ReadTree::as, read_gap>},
  };
  return keys;
}

}  // namespace

std::vector<ReadTree> read_readings(const Node& map, Diagnostics& out) {
  std::vector<ReadTree> readings;
  ReadContext in{out, std::nullopt};
  const auto leaf = [&](const KeyPath& path, const Node& value) {
    ReadTree reading{path, ReadTree::Unknown{}, std::nullopt, value.span};
    const std::size_t before = out.error_count();
    if (value.is_map()) {
      read_map(value, KeyContext::taken, path.span, taken_keys(), reading, in);
    } else if (auto read = read_reading(value, out)) {
      reading.value = std::move(*read);
    }
    if (out.error_count() == before) readings.push_back(std::move(reading));
  };
  for_each_path(map, is_taken, leaf, out);
  return readings;
}

namespace {

bool is_method(const Node& map) { return has_key(map, KeyContext::gap); }

}  // namespace

std::vector<MethodTree> read_methods(const Node& map, Diagnostics& out) {
  std::vector<MethodTree> methods;
  const auto leaf = [&](const KeyPath& path, const Node& value) {
    if (auto gap = read_gap(value, out)) methods.push_back(MethodTree{path, std::move(*gap)});
  };
  for_each_path(map, is_method, leaf, out);
  return methods;
}

namespace {

using WantValue = decltype(WantTree::value);

std::optional<WantValue> read_want(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "'leave', a value or a range", out)) return std::nullopt;
  if (node.text == "leave") return WantTree::Leave{};
  if (looks_like_range(node.text)) {
    auto range = parse_range(node, out);
    return range ? std::optional<WantValue>(std::move(*range)) : std::nullopt;
  }
  auto value = read_expression(node, out);
  return value ? std::optional<WantValue>(std::move(value)) : std::nullopt;
}

bool never_a_leaf(const Node&) { return false; }

}  // namespace

std::vector<WantTree> read_wants(const Node& map, Diagnostics& out) {
  std::vector<WantTree> wants;
  const auto leaf = [&](const KeyPath& path, const Node& value) {
    if (auto want = read_want(value, out)) wants.push_back(WantTree{path, std::move(*want), value.span});
  };
  for_each_path(map, never_a_leaf, leaf, out);
  return wants;
}

// The log ---------------------------------------------------------------------------

namespace {
// A job's name, or what people call it: check knows which.
std::optional<Word> read_logged_job(const Node& node, Diagnostics& out) {
  const bool is_label = node.is_scalar() && !is_snake_case(node.text);
  return is_label ? read_text(node, out) : read_name(node, out);
}

const KeyHandlers<DidTree>& did_keys() {
  static const KeyHandlers<DidTree> keys{
      {"job", set_value<&DidTree::job, read_logged_job>},
      {"amount",
       [](const Node& value, DidTree& did, ReadContext& in) {
         did.amount = read_value(value, in.out);
         did.amount_span = value.span;
       }},
  };
  return keys;
}

std::vector<DidTree> read_did(const Node& node, Diagnostics& out) {
  std::vector<DidTree> done;
  ListedOnce listed;  // with an amount a job may stand twice: a quarter turn, and another
  ReadContext in{out, std::nullopt};
  for (const Node* item : one_or_list(node, out)) {
    DidTree did;
    if (item->is_map()) {
      read_map(*item, KeyContext::did, item->span, did_keys(), did, in);
    } else if (auto job = read_logged_job(*item, out)) {
      if (!listed.is_new(*job, out)) continue;
      did.job = std::move(*job);
    }
    if (!did.job.text.empty()) done.push_back(std::move(did));
  }
  return done;
}

void add_jobs(const Node& value, ConsentTree& consent, ReadContext& in) {
  ListedOnce listed(consent.jobs);
  for (const Node* item : one_or_list(value, in.out)) {
    auto job = read_logged_job(*item, in.out);
    if (job && listed.is_new(*job, in.out)) consent.jobs.push_back(std::move(*job));
  }
}

const KeyHandlers<ConsentTree>& consent_keys() {
  static const KeyHandlers<ConsentTree> keys{
      {"jobs", add_jobs},
      {"job", add_jobs},
      {"up_to", [](const Node& value, ConsentTree& consent,
                   ReadContext& in) { consent.up_to = read_money(value, std::nullopt, in.out); }},
      {"amount", [](const Node& value, ConsentTree& consent,
                    ReadContext& in) { consent.amount = read_money(value, std::nullopt, in.out); }},
      {"by", set<&ConsentTree::by, read_text>},
      {"how", set<&ConsentTree::how, read_text>},
  };
  return keys;
}

// job | [job, job] | {jobs: [job, job], up_to: 273.00, by: M. Example, how: by telephone}
std::optional<ConsentTree> read_consent(const Node& node, Diagnostics& out) {
  ConsentTree consent;
  ReadContext in{out, std::nullopt};
  if (!node.is_map()) {
    add_jobs(node, consent, in);
    return consent;
  }
  const std::size_t told = out.list().size();
  read_map(node, KeyContext::consent, node.span, consent_keys(), consent, in);
  const Node* job = find_value(node, "job");
  if (job != nullptr && find_value(node, "jobs") != nullptr && out.list().size() == told)
    out.report(Code::bad_form, job->span, "an owner's answer says both 'jobs' and 'job'", "list them all under jobs:");
  if (find_value(node, "jobs") == nullptr && job == nullptr) {
    out.report(Code::missing_key, node.span, "an owner's answer needs the key 'jobs'",
               "name the jobs it is about: {jobs: [fret_lcp], up_to: 273.00}");
  }
  if (consent.amount && consent.jobs.size() > 1) {
    out.report(Code::bad_form, find_value(node, "amount")->span, "an amount agreed for several jobs at once",
               "give each job an entry of its own, or write the total as up_to:");
  }
  return consent;
}

const KeyHandlers<WaitingTree>& waiting_keys() {
  static const KeyHandlers<WaitingTree> keys{
      {"for", set_value<&WaitingTree::what, read_text>},
      {"until", set<&WaitingTree::until, read_date>},
  };
  return keys;
}

const KeyHandlers<StrikeTree>& strike_keys() {
  static const KeyHandlers<StrikeTree> keys{
      {"entry",
       [](const Node& value, StrikeTree& strike, ReadContext& in) {
         strike.entry = read_count(value, in.out).value_or(0);
         strike.entry_span = value.span;
       }},
      {"reason", set_value<&StrikeTree::reason, read_text>},
  };
  return keys;
}

// true | picked up
void read_closed(const Node& value, LogEntry& entry, ReadContext& in) {
  const auto text = read_text(value, in.out);
  if (text && text->text == "false")
    in.out.report(Code::bad_form, value.span, "'closed: false' says nothing", "leave it out while the visit is open");
  if (!text || text->text == "false") return;
  entry.closed = true;
  if (text->text != "true") entry.ending = text;
}

const KeyHandlers<LogEntry>& entry_keys() {
  static const KeyHandlers<LogEntry> keys{
      {"date",
       [](const Node& value, LogEntry& entry, ReadContext& in) {
         entry.date = read_date(value, in.out);
         entry.date_span = value.span;
       }},
      {"by", set<&LogEntry::by, read_text>},
      {"note", set<&LogEntry::note, read_text>},
      {"photo", set<&LogEntry::photo, read_text>},
      {"read", set<&LogEntry::read, read_readings>},
      {"did", set<&LogEntry::did, read_did>},
      {"fitted", set<&LogEntry::fitted, read_name>},
      {"retuned", set_value<&LogEntry::retuned, read_truth>},
      {"agreed", set<&LogEntry::agreed, read_consent>},
      {"declined", set<&LogEntry::declined, read_consent>},
      {"asked", set<&LogEntry::asked, read_consent>},
      {"waiting",
       [](const Node& value, LogEntry& entry, ReadContext& in) {
         read_map(value, KeyContext::waiting, value.span, waiting_keys(), entry.waiting.emplace(), in);
       }},
      {"strike",
       [](const Node& value, LogEntry& entry, ReadContext& in) {
         read_map(value, KeyContext::strike, value.span, strike_keys(), entry.strike.emplace(), in);
       }},
      {"closed", read_closed},
  };
  return keys;
}

// A date and a name alone say nothing; an unknown key was told already.
bool says_something(const Node& entry) {
  return std::any_of(entry.entries.begin(), entry.entries.end(),
                     [](const MapEntry& each) { return each.key.text != "date" && each.key.text != "by"; });
}

LogEntry read_entry(const Node& node, ReadContext& in) {
  LogEntry entry;
  entry.span = node.span;
  read_map(node, KeyContext::entry, node.span, entry_keys(), entry, in);
  if (node.is_map() && !says_something(node)) {
    in.out.report(
        Code::nothing_inside, node.span, "a log entry that says nothing",
        "an entry holds read, did, fitted, retuned, agreed, declined, asked, waiting, strike, closed, note or photo");
  }
  return entry;
}

// The dates of a log never go back; an entry without one has the date of the entry before it.
void check_dates(const std::vector<LogEntry>& log, Diagnostics& out) {
  const LogEntry* latest = nullptr;
  for (const LogEntry& entry : log) {
    if (!entry.date) continue;
    if (latest != nullptr && *entry.date < *latest->date) {
      out.report(Code::date_goes_back, entry.date_span,
                 "'" + to_text(*entry.date) + "' is before the entry above it, '" + to_text(*latest->date) + "'",
                 "the log is written in order; a slip is taken back with 'strike:'",
                 {{latest->date_span, "the later date"}});
      continue;
    }
    latest = &entry;
  }
}

}  // namespace

std::vector<LogEntry> read_entries(const Node& list, Diagnostics& out) {
  std::vector<LogEntry> log;
  ReadContext in{out, std::nullopt};
  for (const Node& item : list.items) log.push_back(read_entry(item, in));
  check_dates(log, out);
  return log;
}

namespace {

void read_log(const Node& list, VisitTree& visit, ReadContext& in) {
  visit.log_span = list.span;
  visit.log = read_entries(list, in.out);
}

// The rest ---------------------------------------------------------------------------

const KeyHandlers<VisitTree>& owner_keys() {
  static const KeyHandlers<VisitTree> keys{
      {"name", set<&VisitTree::owner, read_text>},
      {"phone", set<&VisitTree::owner_phone, read_text>},
      {"email", set<&VisitTree::owner_email, read_text>},
  };
  return keys;
}

void read_owner(const Node& value, VisitTree& visit, ReadContext& in) {
  if (value.is_map()) {
    read_map(value, KeyContext::owner, value.span, owner_keys(), visit, in);
  } else {
    visit.owner = read_text(value, in.out);
  }
}

const KeyHandlers<InstrumentTree>& instrument_keys() {
  static const KeyHandlers<InstrumentTree> keys{
      {"id", set<&InstrumentTree::id, read_id>},
      {"label", set<&InstrumentTree::label, read_text>},
      {"strings", set<&InstrumentTree::strings, read_strings>},
      {"slots", set<&InstrumentTree::slots, read_strings>},
  };
  return keys;
}

const KeyHandlers<PlayerTree>& player_keys() {
  static const KeyHandlers<PlayerTree> keys{
      {"says", set<&PlayerTree::says, read_text>},
      {"chords", set<&PlayerTree::chords, read_texts>},
  };
  return keys;
}

// A map with keys of its own; all others are facts.
template <class Tree>
void read_with_facts(const Node& map, KeyContext context, const KeyHandlers<Tree>& keys, Tree& into, ReadContext& in) {
  const auto fact = [&](const MapEntry& entry) {
    if (auto read = read_fact(entry, in.out)) into.facts.push_back(std::move(*read));
    return true;
  };
  read_map(map, context, map.span, keys, into, in, fact);
}

}  // namespace

void read_instrument(const Node& map, InstrumentTree& instrument, ReadContext& in) {
  read_with_facts(map, KeyContext::instrument, instrument_keys(), instrument, in);
}

void read_player(const Node& map, PlayerTree& player, ReadContext& in) {
  read_with_facts(map, KeyContext::player, player_keys(), player, in);
}

namespace {

const KeyHandlers<VisitTree>& visit_keys() {
  static const KeyHandlers<VisitTree> keys{
      {"visit", set_value<&VisitTree::id, read_id>},
      {"profile", set<&VisitTree::profile, read_name>},
      {"owner", read_owner},
      {"due",
       [](const Node& value, VisitTree& visit, ReadContext& in) {
         visit.due = read_date(value, in.out);
         visit.due_span = value.span;
       }},
      {"rush", set<&VisitTree::rush, read_name>},
      {"package", set<&VisitTree::package, read_name_or_none>},
      {"methods", set<&VisitTree::methods, read_methods>},
      {"instrument",
       [](const Node& value, VisitTree& visit, ReadContext& in) { read_instrument(value, visit.instrument, in); }},
      {"player", [](const Node& value, VisitTree& visit, ReadContext& in) { read_player(value, visit.player, in); }},
      {"wants", set<&VisitTree::wants, read_wants>},
      {"log", read_log},
  };
  return keys;
}

// The entries of a log keep their numbers.
void leave_out(const Spoiled& spoiled, VisitTree& visit) {
  const auto is_spoiled = [&](const WantTree& want) { return spoiled.holds(want.span); };
  visit.wants.erase(std::remove_if(visit.wants.begin(), visit.wants.end(), is_spoiled), visit.wants.end());
  for (LogEntry& entry : visit.log) {
    if (!spoiled.holds(entry.span)) continue;
    LogEntry left;
    left.span = entry.span;
    left.date = entry.date;
    left.date_span = entry.date_span;
    entry = std::move(left);
  }
}

}  // namespace

std::optional<VisitTree> read_visit(const Node& document, Diagnostics& out) {
  const std::size_t first = out.list().size();
  VisitTree visit;
  visit.source = document.span.source;
  ReadContext in{out, std::nullopt};
  const Span owner = document.is_map() && !document.entries.empty() ? document.entries.front().key.span : document.span;
  read_map(document, KeyContext::visit, owner, visit_keys(), visit, in);
  visit.spoiled = spoiled_parts(document, out, first);
  if (visit.id.text.empty()) return std::nullopt;
  leave_out(visit.spoiled, visit);
  return visit;
}

}  // namespace stringline
