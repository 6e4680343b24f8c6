// What nobody can go below who reads the same files: `read` their bytes, or bare yaml-cpp `events` of them, nothing kept.
// bytes MODE FOLDER. It judges nothing; its verdicts are the number of bytes or events.
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <filesystem>
#include <sstream>

#include "tests/bench/contender.h"

namespace {

class Counter : public YAML::EventHandler {
 public:
  std::uint64_t events = 0;
  void OnDocumentStart(const YAML::Mark&) override { ++events; }
  void OnDocumentEnd() override { ++events; }
  void OnNull(const YAML::Mark&, YAML::anchor_t) override { ++events; }
  void OnAlias(const YAML::Mark&, YAML::anchor_t) override { ++events; }
  void OnScalar(const YAML::Mark&, const std::string&, YAML::anchor_t, const std::string&) override { ++events; }
  void OnSequenceStart(const YAML::Mark&, const std::string&, YAML::anchor_t, YAML::EmitterStyle::value) override {
    ++events;
  }
  void OnSequenceEnd() override { ++events; }
  void OnMapStart(const YAML::Mark&, const std::string&, YAML::anchor_t, YAML::EmitterStyle::value) override {
    ++events;
  }
  void OnMapEnd() override { ++events; }
};

std::uint64_t events_of(const std::string& text) {
  std::istringstream stream(text);
  YAML::Parser parser(stream);
  Counter counter;
  while (parser.HandleNextDocument(counter)) continue;
  return counter.events;
}

}  // namespace

int main(int, char** words) {
  const bool events = std::string(words[1]) == "events";
  std::vector<std::string> paths;
  for (const auto& entry : std::filesystem::directory_iterator(words[2])) paths.push_back(entry.path().string());
  std::sort(paths.begin(), paths.end());
  return bench::serve(paths.size(), [&](bench::Verdicts& verdicts) {
    for (std::size_t at = 0; at < paths.size(); ++at) {
      const std::string text = bench::text_of(paths[at]);
      verdicts[at] = events ? events_of(text) : text.size();
    }
  });
}
