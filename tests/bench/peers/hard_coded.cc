// The rules written in C++ by a script, on records in memory (`memory`) or from JSON Lines (`lines`): the limit of both.
// hard_coded MODE VISITS.JSONL FORMS, or hard_coded file VISIT.yaml: one visit read by yaml-cpp, the whole process.
#include <yaml-cpp/yaml.h>

#include <cstdio>

#include "rules.h"
#include "tests/bench/contender.h"

namespace {

bench::Record read_visit(const std::string& path, const std::vector<bench::Field>& fields) {
  const YAML::Node visit = YAML::LoadFile(path);
  const YAML::Node read = visit["log"][0]["read"];
  bench::Record record;
  const auto style = visit["player"]["style"].as<std::string>();
  while (bench::styles()[record.style] != style) ++record.style;
  for (std::size_t at = 0; at < fields.size(); ++at) {
    const YAML::Node value = read[fields[at].name];
    record.values[at] = fields[at].member.empty() ? value.as<double>() : value[fields[at].member].as<double>();
  }
  return record;
}

int from_lines(const std::string& path, const std::string& forms) {
  const auto fields = bench::fields_of(forms);
  return bench::serve(bench::lines_of(path).size(), [&](bench::Verdicts& verdicts) {
    const auto lines = bench::lines_of(path);
    for (std::size_t at = 0; at < lines.size(); ++at) {
      const bench::Record record = bench::record_of(lines[at], fields);
      verdicts[at] = kept_rules(record.values.data(), record.style);
    }
  });
}

}  // namespace

int main(int, char** words) {
  const std::string mode = words[1];
  if (mode == "file") {
    const bench::Record record = read_visit(words[2], bench::fields_of(words[3]));
    std::printf("%llx\n", static_cast<unsigned long long>(kept_rules(record.values.data(), record.style)));
    return 0;
  }
  if (mode == "lines") return from_lines(words[2], words[3]);
  const auto records = bench::records_of(words[2], words[3]);
  return bench::serve(records.size(), [&](bench::Verdicts& verdicts) {
    for (std::size_t at = 0; at < records.size(); ++at)
      verdicts[at] = kept_rules(records[at].values.data(), records[at].style);
  });
}
