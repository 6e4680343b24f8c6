// See entry_words.h.
#include "engine/book/entry_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "engine/book/log_entry.h"

namespace stringline {
namespace {

using Words = std::vector<std::string>;

constexpr std::size_t longest_line = 90;

std::string joined(const Words& words, std::size_t from = 0) {
  std::string out;
  for (std::size_t i = from; i < words.size(); ++i) out += (out.empty() ? "" : " ") + words[i];
  return out;
}

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + '"';
}

bool is_one_of(char c, std::string_view set) { return set.find(c) != std::string_view::npos; }

// A name stands as it is; whatever else was said stands in quotes, for check to say what is wrong with it.
std::string name_text(const std::string& word) {
  const auto plain = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || is_one_of(c, "_.+#-");
  };
  const bool good = !word.empty() && !is_one_of(word.front(), "#-") && std::all_of(word.begin(), word.end(), plain);
  return good ? word : quoted(word);
}

// A text that YAML could take for something else stands in quotes; a list or map of the tech's own stands as it is.
std::string value_text(const std::string& text) {
  if (is_one_of(text.front(), "[{")) return text;
  const bool starts = !is_one_of(text.front(), "%@`") && text.rfind("- ", 0) != 0;
  const bool plain = starts && text.find_first_of(":#{}[],&*!|>'\"\\?") == std::string::npos;
  return plain ? text : quoted(text);
}

Words split(const std::vector<std::string>& arguments) {
  Words words;
  for (const std::string& argument : arguments) {
    std::size_t from = 0;
    while (from < argument.size()) {
      const std::size_t end = std::min(argument.find_first_of(" \t\r\n", from), argument.size());
      if (end > from) words.push_back(argument.substr(from, end - from));
      from = end + 1;
    }
  }
  return words;
}

// The words between the commas that stand in no brackets: "a 1 mm, b [2 mm, 3 mm]".
std::vector<Words> phrases(const Words& words) {
  std::vector<Words> all(1);
  int depth = 0;
  for (const std::string& word : words) {
    std::string part;
    for (const char c : word) {
      depth += is_one_of(c, "[{") ? 1 : is_one_of(c, "]}") ? -1 : 0;
      if (c != ',' || depth > 0) {
        part += c;
        continue;
      }
      if (!part.empty()) all.back().push_back(std::move(part));
      part.clear();
      if (!all.back().empty()) all.emplace_back();
    }
    if (!part.empty()) all.back().push_back(std::move(part));
  }
  if (all.back().empty()) all.pop_back();
  return all;
}

std::string did_line(const std::vector<Words>& jobs) {
  if (jobs.empty()) throw EntryError("'did' needs a job: did tighten_rod 1/4 turns");
  Words list;
  for (const Words& job : jobs) {
    const std::string name = name_text(job.front());
    list.push_back(job.size() == 1 ? name : fmt::format("{{job: {}, amount: {}}}", name, value_text(joined(job, 1))));
  }
  return list.size() == 1 ? "did: " + list.front() : fmt::format("did: [{}]", fmt::join(list, ", "));
}

std::string consent_line(const std::string& answer, std::vector<Words> jobs) {
  std::string up_to;
  if (!jobs.empty()) {
    Words& last = jobs.back();
    const auto ceiling = std::find(last.begin(), last.end(), "up_to");
    if (ceiling != last.end()) {
      if (ceiling + 1 == last.end()) throw EntryError("'up_to' needs a total: up_to 210.00");
      up_to = joined(Words(ceiling + 1, last.end()));
      last.erase(ceiling, last.end());
    }
    if (last.empty()) jobs.pop_back();
  }
  if (jobs.empty()) throw EntryError(fmt::format("'{}' needs a job: {} fret_lcp", answer, answer));
  Words names;
  for (const Words& job : jobs) names.push_back(name_text(joined(job)));
  const bool several = names.size() > 1;
  const std::string list = several ? fmt::format("[{}]", fmt::join(names, ", ")) : names.front();
  if (up_to.empty()) return fmt::format("{}: {}", answer, list);
  return fmt::format("{}: {{{}: {}, up_to: {}}}", answer, several ? "jobs" : "job", list, value_text(up_to));
}

std::string strike_line(const Words& words) {
  if (words.size() < 3) throw EntryError("'strike' needs the entry's number and a reason: strike 3 wrong string");
  return fmt::format("strike: {{entry: {}, reason: {}}}", value_text(words[1]), quoted(joined(words, 2)));
}

std::string waiting_line(const Words& words) {
  if (words.size() < 2) throw EntryError("'waiting' needs what for: waiting parts until 2026-09-01");
  const auto until = std::find(words.begin() + 2, words.end(), "until");
  const Words what(words.begin() + 1, until);
  if (until == words.end()) return fmt::format("waiting: {{for: {}}}", quoted(joined(what)));
  if (until + 1 == words.end()) throw EntryError("'until' needs a day: until 2026-09-01");
  return fmt::format("waiting: {{for: {}, until: {}}}", quoted(joined(what)),
                     value_text(joined(Words(until + 1, words.end()))));
}

Words readings(const Words& words) {
  Words all;
  for (const Words& phrase : phrases(words)) {
    std::string name = phrase.front();
    if (name.size() > 1 && name.back() == ':') name.pop_back();
    if (phrase.size() < 2) throw EntryError(fmt::format("'{}' needs a value: {} 0.25 mm", name, name));
    all.push_back(fmt::format("{}: {}", name_text(name), value_text(joined(phrase, 1))));
  }
  if (all.empty()) throw EntryError("nothing to note: relief 0.2 mm, or did tighten_rod 1/4 turns");
  return all;
}

std::vector<std::string> reading_lines(const Words& words, ReadStyle style) {
  const Words all = readings(words);
  std::string line = fmt::format("read: {{{}}}", fmt::join(all, ", "));
  if (style == ReadStyle::braces && line.size() <= longest_line) return {std::move(line)};
  std::vector<std::string> lines{"read:"};
  for (const std::string& each : all) lines.push_back("  " + each);
  return lines;
}

}  // namespace

std::vector<std::string> entry_lines(const std::vector<std::string>& arguments, ReadStyle style) {
  const Words words = split(arguments);
  if (words.empty()) throw EntryError("nothing to note: relief 0.2 mm, or did tighten_rod 1/4 turns");
  const std::string& first = words.front();
  const Words rest(words.begin() + 1, words.end());
  if (first == "did") return {did_line(phrases(rest))};
  if (first == "agreed" || first == "declined" || first == "asked") return {consent_line(first, phrases(rest))};
  if (first == "fitted") {
    if (rest.size() != 1) throw EntryError("'fitted' needs one set or part: fitted set_10_46");
    return {"fitted: " + name_text(rest.front())};
  }
  if (first == "retuned") {
    if (!rest.empty())
      throw EntryError("'retuned' stands alone; the pitch itself is a reading, or an instrument's tuning:");
    return {"retuned: true"};
  }
  if (first == "closed") return {rest.empty() ? "closed: true" : "closed: " + quoted(joined(rest))};
  if (first == "text") {
    if (rest.empty()) throw EntryError("'text' needs words: text the top looks dry");
    return {"note: " + quoted(joined(rest))};
  }
  if (first == "waiting") return {waiting_line(words)};
  if (first == "strike") return {strike_line(words)};
  return reading_lines(words, style);
}

}  // namespace stringline
