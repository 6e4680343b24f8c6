// Stringline through its public face, on the profile as its author wrote it: visits judged that are checked already
// (`memory`), read, checked and judged from YAML files (`files`), or from JSON Lines (`lines`). engine MODE BOOK.
#include "engine/stringline.h"

#include <algorithm>
#include <filesystem>
#include <sstream>
#include <stdexcept>

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

bool kept(const Judgement& judgement, Outcome outcome) {
  if (outcome.target) {
    const Verdict verdict = judgement.targets[outcome.at].verdict;
    if (verdict != Verdict::within && verdict != Verdict::low && verdict != Verdict::high)
      throw std::runtime_error("a target without an answer");
    return verdict == Verdict::within;
  }
  const RuleState state = judgement.rules[outcome.at].state;
  if (state != RuleState::clear && state != RuleState::fired) throw std::runtime_error("a rule without an answer");
  return state == RuleState::clear;
}

std::uint64_t verdicts_of(const Judgement& judgement, const std::vector<Outcome>& outcomes) {
  std::uint64_t all = 0;
  for (std::size_t rule = 0; rule < outcomes.size(); ++rule)
    all |= std::uint64_t{kept(judgement, outcomes[rule])} << rule;
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

std::vector<std::string> visit_paths(const std::string& book) {
  std::vector<std::string> paths;
  for (const auto& entry : std::filesystem::directory_iterator(book + "/visits"))
    paths.push_back(entry.path().string());
  std::sort(paths.begin(), paths.end());
  return paths;
}

int from_memory(const std::string& book) {
  Reader reader;
  std::vector<std::unique_ptr<const OpenVisit>> visits;
  for (const std::string& path : visit_paths(book)) visits.push_back(reader.open({path, {}, book, {}}));
  const auto outcomes = outcomes_of(visits.front()->program, book);
  return bench::serve(visits.size(), [&](bench::Verdicts& verdicts) {
    for (std::size_t at = 0; at < visits.size(); ++at) verdicts[at] = verdicts_of(judge(visits[at]->program), outcomes);
  });
}

int from_files(const std::string& book) {
  const auto paths = visit_paths(book);
  const auto outcomes = outcomes_of(Reader().open({paths.front(), {}, book, {}})->program, book);
  return bench::serve(paths.size(), [&](bench::Verdicts& verdicts) {
    Reader reader;
    for (std::size_t at = 0; at < paths.size(); ++at)
      verdicts[at] = verdicts_of(reader.open({paths[at], {}, book, {}})->judgement, outcomes);
  });
}

int from_lines(const std::string& book) {
  const std::string path = book + "/visits.jsonl";
  const auto first = bench::lines_of(path);
  const auto outcomes = outcomes_of(Reader().open({path, first.front(), book, {}})->program, book);
  return bench::serve(first.size(), [&](bench::Verdicts& verdicts) {
    Reader reader;
    const auto lines = bench::lines_of(path);
    for (std::size_t at = 0; at < lines.size(); ++at)
      verdicts[at] = verdicts_of(reader.open({path, lines[at], book, {}})->judgement, outcomes);
  });
}

}  // namespace

int main(int, char** words) {
  const std::string mode = words[1];
  return mode == "memory" ? from_memory(words[2]) : mode == "files" ? from_files(words[2]) : from_lines(words[2]);
}
