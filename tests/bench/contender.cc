// See contender.h.
#include "tests/bench/contender.h"

#include <time.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>

namespace bench {

std::string text_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) throw std::runtime_error("can not read " + path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

std::vector<std::string> lines_of(const std::string& path) {
  std::istringstream text(text_of(path));
  std::vector<std::string> lines;
  for (std::string line; std::getline(text, line);) lines.push_back(line);
  return lines;
}

std::vector<Field> fields_of(const std::string& forms) {
  std::vector<Field> fields;
  for (const std::string& line : lines_of(forms + "/fields.txt")) {
    const auto space = line.find(' ');
    fields.push_back({line.substr(0, space), space == std::string::npos ? "" : line.substr(space + 1)});
  }
  if (fields.size() != reading_count) throw std::runtime_error("fields.txt does not fit contender.h");
  return fields;
}

const std::vector<std::string>& styles() {
  static const std::vector<std::string> names{"strum", "finger", "slide", "shred"};
  return names;
}

Record record_of(const std::string& line, const std::vector<Field>& fields) {
  const auto visit = nlohmann::json::parse(line);
  const auto& read = visit.at("log").at(0).at("read");
  const auto style = std::find(styles().begin(), styles().end(), visit.at("player").at("style").get<std::string>());
  Record record;
  record.style = static_cast<std::size_t>(style - styles().begin());
  for (std::size_t at = 0; at < fields.size(); ++at) {
    const auto& value = read.at(fields[at].name);
    record.values[at] = fields[at].member.empty() ? value.get<double>() : value.at(fields[at].member).get<double>();
  }
  return record;
}

std::vector<Record> records_of(const std::string& path, const std::string& forms) {
  const auto fields = fields_of(forms);
  std::vector<Record> records;
  for (const std::string& line : lines_of(path)) records.push_back(record_of(line, fields));
  return records;
}

namespace {

// Of this process, on all processors: what else the machine does counts for little.
double processor_seconds() {
  timespec time{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
  return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_nsec) * 1e-9;
}

double seconds_of_a_run(Verdicts& verdicts, const std::function<void(Verdicts&)>& run) {
  const double start = processor_seconds();
  int runs = 0;
  do {
    run(verdicts);
    ++runs;
  } while (processor_seconds() - start < 0.1);
  return (processor_seconds() - start) / runs;
}

}  // namespace

int serve(std::size_t records, const std::function<void(Verdicts&)>& run) {
  Verdicts verdicts(records);
  std::printf("ready %zu\n", records);
  std::fflush(stdout);
  for (std::string command; std::getline(std::cin, command);) {
    if (command == "verdicts") {
      run(verdicts);
      for (const std::uint64_t one : verdicts) std::printf("%llx\n", static_cast<unsigned long long>(one));
    } else {
      std::printf("%.9g\n", seconds_of_a_run(verdicts, run));
    }
    std::fflush(stdout);
  }
  return 0;
}

}  // namespace bench
