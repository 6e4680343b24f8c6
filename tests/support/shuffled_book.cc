#include "tests/support/shuffled_book.h"

#include <algorithm>
#include <regex>
#include <stdexcept>
#include <vector>

#include "engine/diag/render.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/run_program.h"
#include "tests/support/shuffled_yaml.h"

namespace stringline::testing {
namespace {

namespace fs = std::filesystem;

// The first package of a house is the default; the entries of a log come in their order (a list stays as it is).
const std::set<std::string> kept_in_order{"packages"};

std::string shuffled(const fs::path& file, std::mt19937& random) {
  Sources sources;
  Diagnostics diagnostics;
  const SourceId id = sources.add(file.string(), stringline::read_file(file));
  const auto document = read_yaml(id, sources, diagnostics);
  if (!document) throw std::runtime_error(render(diagnostics, sources, false));
  return ShuffledYaml(sources.text(id), random, kept_in_order).write(*document);
}

}  // namespace

void shuffle_folder(const fs::path& from, const fs::path& to, std::mt19937& random) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::recursive_directory_iterator(from)) {
    if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  std::shuffle(files.begin(), files.end(), random);  // on some systems a folder lists its files in the order they came
  for (const fs::path& file : files) stringline::write_file(to / fs::relative(file, from), shuffled(file, random));
}

std::map<std::string, std::string> rename_visits(const fs::path& root, std::mt19937& random) {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(root / "visits")) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  std::vector<std::string> others = names;
  std::shuffle(others.begin(), others.end(), random);
  std::map<std::string, std::string> were;
  for (std::size_t i = 0; i < names.size(); ++i) {
    fs::rename(root / "visits" / names[i], root / ("moved_" + names[i]));
    were[others[i]] = names[i];
  }
  for (const auto& [now, then] : were) fs::rename(root / ("moved_" + then), root / "visits" / now);
  return were;
}

std::string without_places(std::string text, const fs::path& root) {
  static const std::regex place(":[0-9]+:[0-9]+");
  for (std::size_t at = text.find(root.string()); at != std::string::npos; at = text.find(root.string(), at))
    text.erase(at, root.string().size());
  return std::regex_replace(text, place, "");
}

std::string first_difference(const std::string& a, const std::string& b) {
  const auto at = static_cast<std::size_t>(std::mismatch(a.begin(), a.end(), b.begin(), b.end()).first - a.begin());
  const std::size_t from = at < 200 ? 0 : at - 200;
  return a.substr(from, 400) + "\n--- against ---\n" + b.substr(from, 400);
}

}  // namespace stringline::testing
