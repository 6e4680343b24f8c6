// Stringline through its public face, on the profile as its author wrote it. engine MODE BOOK [COUNT]:
//   memory   records that are readings already          numbers  records of plain numbers, made readings first
//   files    YAML files, read and judged                 lines    JSON Lines, read and judged
//   full     checked visits, judged with every reason    opened   YAML files, read, checked and judged with every reason
// The first four use a judge for many (judge/quick_judge.h), one for each style of play.
#include "engine/stringline.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>
#include <unordered_map>

#include "engine/judge/quick_judge.h"
#include "tests/bench/contender.h"

namespace {

using namespace stringline;

// Where the answer to each rule of the workload stands in a judgement.
struct Outcome {
  bool target = false;
  std::size_t at = 0;
};

std::size_t place_of_target(const Program& program, const std::string& name) {
  for (std::size_t at = 0; at < program.targets.size(); ++at) {
    if (program.points[program.targets[at].point].name == name) return at;
  }
  throw std::runtime_error("no target " + name);
}

std::size_t place_of_rule(const Program& program, const std::string& name) {
  for (std::size_t at = 0; at < program.rules.size(); ++at) {
    if (program.rules[at].name == name) return at;
  }
  throw std::runtime_error("no rule " + name);
}

std::vector<Outcome> outcomes_of(const Program& program, const std::string& book) {
  std::vector<Outcome> outcomes;
  for (const std::string& line : bench::lines_of(book + "/outcomes.txt")) {
    std::string id, kind, name;
    std::istringstream(line) >> id >> kind >> name;
    const bool target = kind == "target";
    outcomes.push_back({target, target ? place_of_target(program, name) : place_of_rule(program, name)});
  }
  if (outcomes.size() != bench::rule_count) throw std::runtime_error("outcomes.txt does not fit contender.h");
  return outcomes;
}

bool kept(Verdict verdict) {
  if (verdict != Verdict::within && verdict != Verdict::low && verdict != Verdict::high)
    throw std::runtime_error("a target without an answer");
  return verdict == Verdict::within;
}

bool kept(RuleState state) {
  if (state != RuleState::clear && state != RuleState::fired) throw std::runtime_error("a rule without an answer");
  return state == RuleState::clear;
}

std::uint64_t kept_rules(const Judgement& found, const std::vector<Outcome>& outcomes) {
  std::uint64_t all = 0;
  for (std::size_t rule = 0; rule < outcomes.size(); ++rule) {
    const Outcome& one = outcomes[rule];
    all |= std::uint64_t{one.target ? kept(found.targets[one.at].verdict) : kept(found.rules[one.at].state)} << rule;
  }
  return all;
}

std::uint64_t kept_rules(const QuickJudgement& found, const std::vector<Outcome>& outcomes) {
  std::uint64_t all = 0;
  for (std::size_t rule = 0; rule < outcomes.size(); ++rule) {
    const Outcome& one = outcomes[rule];
    all |= std::uint64_t{one.target ? kept(found.verdicts[one.at]) : kept(found.rules[one.at])} << rule;
  }
  return all;
}

// One run through a house book: what was read of it is forgotten with it.
struct Reader {
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book{{}, sources, diagnostics};

  std::unique_ptr<const OpenVisit> open(const VisitRequest& request) {
    auto visit = open_visit(book, request, diagnostics);
    if (!visit) throw std::runtime_error(render(diagnostics, sources, false));
    return visit;
  }
};

std::vector<std::string> visit_paths(const std::string& book, std::size_t count) {
  std::vector<std::string> paths;
  for (const auto& entry : std::filesystem::directory_iterator(book + "/visits"))
    paths.push_back(entry.path().string());
  std::sort(paths.begin(), paths.end());
  paths.resize(std::min(paths.size(), count));
  return paths;
}

// The profile of a house book as a judge for each style.
class Judges {
 public:
  explicit Judges(const std::string& book) {
    Reader reader;
    for (const std::string& style : bench::styles()) {
      const std::string visit = "visit: any\nprofile: bench\nplayer: {style: " + style + "}\n";
      const Program program = reader.open({book + "/any.yaml", visit, book, {}})->program;
      judges_.emplace_back(program);
      if (!judges_.back().refused().empty())
        throw std::runtime_error("not judged quickly: " + judges_.back().refused());
      if (judges_.size() > 1) continue;  // places are the same in all
      outcomes_ = outcomes_of(program, book);
      for (PointId point = 0; point < program.points.size(); ++point) points_[program.points[point].name] = point;
    }
  }

  [[nodiscard]] Readings blank() const { return judges_.front().blank(); }
  [[nodiscard]] PointId point(const std::string& name) const { return points_.at(name); }
  [[nodiscard]] static std::size_t style(std::string_view name) {
    const auto& all = bench::styles();
    return static_cast<std::size_t>(std::find(all.begin(), all.end(), name) - all.begin());
  }
  [[nodiscard]] std::uint64_t judge(const Readings& record, std::size_t style) {
    return kept_rules(judges_.at(style).judge(record), outcomes_);
  }
  // Many of one style at once; `places`: where the verdicts go.
  void judge(const std::vector<Readings>& records, std::size_t style, const std::vector<std::size_t>& places,
             bench::Verdicts& verdicts) {
    const auto found = judges_.at(style).judge(records);
    for (std::size_t at = 0; at < places.size(); ++at) verdicts[places[at]] = kept_rules(found[at], outcomes_);
  }

 private:
  std::vector<QuickJudge> judges_;
  std::vector<Outcome> outcomes_;
  std::unordered_map<std::string, PointId> points_;
};

// What a visit's file read, where all of it are plain numbers.
void fill(Readings& record, const VisitTree& visit, const Judges& judges) {
  for (const LogEntry& entry : visit.log) {
    for (const ReadTree& read : entry.read) {
      const auto& values = std::get<std::vector<ExprPtr>>(read.value);
      const std::string& name = read.reading.name.text;
      const auto& members = read.reading.members;
      record.number(judges.point(members.empty() ? name : name + "." + members.front().text),
                    std::get<Number>(values.at(0)->node).quantity.value);
    }
  }
}

std::string style_of(const VisitTree& visit) {
  const ExprPtr& style = std::get<ExprPtr>(std::get<ExprChoice>(visit.player.facts.at(0).value).node);
  return std::get<Name>(style->node).name;
}

// A line of JSON with the keys of a visit, straight into readings: digits are taken as they are written.
class Line : public nlohmann::json_sax<nlohmann::json> {
 public:
  Line(Readings& record, const Judges& judges) : record_(record), judges_(judges) {}
  std::size_t style = 0;

  bool key(std::string& name) override {
    keys_.back() = name;
    return true;
  }
  bool start_object(std::size_t) override {
    keys_.emplace_back();
    return true;
  }
  bool end_object() override {
    keys_.pop_back();
    return true;
  }
  bool string(std::string& text) override {
    if (keys_.back() == "style") style = Judges::style(text);
    return true;
  }
  bool number_float(double, const std::string& text) override {
    std::int64_t digits = 0;
    int places = -1;
    for (const char c : text) {
      if (c == '.') places = 0;
      if (c == '.' || c == '-') continue;
      if (c < '0' || c > '9') throw std::runtime_error("no plain number: " + text);
      digits = digits * 10 + (c - '0');
      if (places >= 0) ++places;
    }
    record_.decimal(judges_.point(name()), text.front() == '-' ? -digits : digits, std::max(places, 0));
    return true;
  }
  bool number_integer(std::int64_t value) override {
    record_.decimal(judges_.point(name()), value, 0);
    return true;
  }
  bool number_unsigned(std::uint64_t value) override { return number_integer(static_cast<std::int64_t>(value)); }
  bool start_array(std::size_t) override { return true; }
  bool end_array() override { return true; }
  bool null() override { return false; }
  bool boolean(bool) override { return false; }
  bool binary(nlohmann::json::binary_t&) override { return false; }
  bool parse_error(std::size_t, const std::string&, const nlohmann::json::exception&) override { return false; }

 private:
  // Of the visit, of its log's entry, of what was read; then of the members.
  [[nodiscard]] std::string name() const { return keys_.size() == 3 ? keys_[2] : keys_.at(2) + "." + keys_.at(3); }

  Readings& record_;
  const Judges& judges_;
  std::vector<std::string> keys_;
};

struct Filled {
  Readings record;
  std::size_t style = 0;
};

Filled filled(const std::string& line, const Judges& judges) {
  Filled one{judges.blank()};
  Line handler(one.record, judges);
  if (!nlohmann::json::sax_parse(line, &handler)) throw std::runtime_error("no visit: " + line);
  one.style = handler.style;
  return one;
}

// Records by style, and the place of each among all.
struct Batch {
  std::vector<Readings> records;
  std::vector<std::size_t> places;
};
using Batches = std::vector<Batch>;

void judge_all(Judges& judges, const Batches& batches, bench::Verdicts& verdicts) {
  for (std::size_t style = 0; style < batches.size(); ++style)
    judges.judge(batches[style].records, style, batches[style].places, verdicts);
}

int from_memory(const std::string& book) {
  Judges judges(book);
  Batches batches(bench::styles().size());
  const auto lines = bench::lines_of(book + "/visits.jsonl");
  for (std::size_t at = 0; at < lines.size(); ++at) {
    Filled one = filled(lines[at], judges);
    batches[one.style].records.push_back(std::move(one.record));
    batches[one.style].places.push_back(at);
  }
  return bench::serve(lines.size(), [&](bench::Verdicts& verdicts) { judge_all(judges, batches, verdicts); });
}

int from_numbers(const std::string& book, const std::string& forms) {
  Judges judges(book);
  const auto records = bench::records_of(book + "/visits.jsonl", forms);
  std::vector<PointId> points;
  for (const auto& field : bench::fields_of(forms))
    points.push_back(judges.point(field.member.empty() ? field.name : field.name + "." + field.member));
  Batches batches(bench::styles().size());
  for (std::size_t at = 0; at < records.size(); ++at) {
    batches[records[at].style].records.push_back(judges.blank());
    batches[records[at].style].places.push_back(at);
  }
  const auto fill = [&](Readings& readings, const bench::Record& record) {
    for (std::size_t i = 0; i < points.size(); ++i)
      readings.decimal(points[i], std::llround(record.values[i] * 1000), 3);
  };
  return bench::serve(records.size(), [&](bench::Verdicts& verdicts) {
    for (Batch& batch : batches) {
      for (std::size_t at = 0; at < batch.places.size(); ++at) fill(batch.records[at], records[batch.places[at]]);
    }
    judge_all(judges, batches, verdicts);
  });
}

int from_files(const std::string& book) {
  const auto paths = visit_paths(book, static_cast<std::size_t>(-1));
  return bench::serve(paths.size(), [&](bench::Verdicts& verdicts) {
    Judges judges(book);
    Reader reader;
    Readings record = judges.blank();
    for (std::size_t at = 0; at < paths.size(); ++at) {
      const VisitTree* visit = reader.book.visit(paths[at]);
      if (visit == nullptr) throw std::runtime_error(render(reader.diagnostics, reader.sources, false));
      record = judges.blank();
      fill(record, *visit, judges);
      verdicts[at] = judges.judge(record, Judges::style(style_of(*visit)));
    }
  });
}

int from_lines(const std::string& book) {
  const std::string path = book + "/visits.jsonl";
  return bench::serve(bench::lines_of(path).size(), [&](bench::Verdicts& verdicts) {
    Judges judges(book);
    const auto lines = bench::lines_of(path);
    for (std::size_t at = 0; at < lines.size(); ++at) {
      const Filled one = filled(lines[at], judges);
      verdicts[at] = judges.judge(one.record, one.style);
    }
  });
}

int in_full(const std::string& book, std::size_t count) {
  Reader reader;
  std::vector<std::unique_ptr<const OpenVisit>> visits;
  for (const std::string& path : visit_paths(book, count)) visits.push_back(reader.open({path, {}, book, {}}));
  const auto outcomes = outcomes_of(visits.front()->program, book);
  return bench::serve(visits.size(), [&](bench::Verdicts& verdicts) {
    for (std::size_t at = 0; at < visits.size(); ++at) verdicts[at] = kept_rules(judge(visits[at]->program), outcomes);
  });
}

int opened(const std::string& book, std::size_t count) {
  const auto paths = visit_paths(book, count);
  const auto outcomes = outcomes_of(Reader().open({paths.front(), {}, book, {}})->program, book);
  return bench::serve(paths.size(), [&](bench::Verdicts& verdicts) {
    Reader reader;
    for (std::size_t at = 0; at < paths.size(); ++at)
      verdicts[at] = kept_rules(reader.open({paths[at], {}, book, {}})->judgement, outcomes);
  });
}

}  // namespace

int main(int, char** words) {
  const std::string mode = words[1];
  const std::string book = words[2];
  if (mode == "memory") return from_memory(book);
  if (mode == "numbers") return from_numbers(book, words[3]);
  if (mode == "files") return from_files(book);
  if (mode == "lines") return from_lines(book);
  const auto count = static_cast<std::size_t>(std::stoul(words[3]));
  return mode == "full" ? in_full(book, count) : opened(book, count);
}
