#include "tests/support/read_case.h"

#include <sstream>

#include "engine/syntax/file_kind.h"
#include "engine/syntax/read_house.h"
#include "engine/syntax/read_profile.h"
#include "engine/syntax/read_trials.h"
#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"

namespace stringline::test {

namespace {

std::string to_text(Position at) { return std::to_string(at.line) + ":" + std::to_string(at.column); }

}  // namespace

ReadCase::ReadCase(const std::string& text) {
  std::string plain;
  std::vector<std::size_t> offsets;
  for (const char c : text) {
    if (c == '^') {
      offsets.push_back(plain.size());
    } else {
      plain += c;
    }
  }
  const SourceId source = sources.add("case.yaml", plain);
  for (const std::size_t offset : offsets) marks_.push_back(to_text(sources.position(source, offset)));
  const auto document = read_yaml(source, sources, diagnostics);
  if (!document) return;
  const auto kind = file_kind(*document, diagnostics);
  if (!kind) return;
  if (*kind == FileKind::house) house = read_house(*document, diagnostics);
  if (*kind == FileKind::profile) profile = read_profile(*document, diagnostics);
  if (profile && profile->spoiled.any) profile.reset();
  if (*kind == FileKind::visit) visit = read_visit(*document, diagnostics);
  if (visit && visit->spoiled.any) visit.reset();
  if (*kind == FileKind::trials) trials = read_trials(*document, diagnostics);
}

std::vector<std::string> ReadCase::mistakes() const {
  std::vector<std::string> result;
  for (const Diagnostic& each : diagnostics.sorted()) {
    result.push_back(to_text(sources.position(each.span.source, each.span.begin)) + " " +
                     std::string(info(each.code).id));
  }
  return result;
}

std::vector<std::string> ReadCase::expected(const std::string& codes) const {
  std::istringstream words(codes);
  std::vector<std::string> result;
  std::size_t mark = 0;
  for (std::string at_mark; words >> at_mark; ++mark) {
    std::istringstream each(at_mark);
    for (std::string code; std::getline(each, code, '+');) {
      result.push_back((mark < marks_.size() ? marks_[mark] : "no mark") + " " + code);
    }
  }
  if (mark < marks_.size()) result.emplace_back("a mark without a code");
  return result;
}

std::string ReadCase::said() const {
  std::string result;
  for (const Diagnostic& each : diagnostics.sorted()) {
    if (!result.empty()) result += "\n";
    result += each.message + (each.hint.empty() ? "" : " | " + each.hint);
  }
  return result;
}

std::string ReadCase::under(Span span) const {
  return std::string(sources.text(span.source).substr(span.begin, span.end - span.begin));
}

}  // namespace stringline::test
