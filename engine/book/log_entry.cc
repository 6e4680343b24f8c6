// See log_entry.h.
#include "engine/book/log_entry.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/value/ratio.h"

namespace stringline {
namespace {

using Words = std::vector<std::string>;

std::string joined(const Words& words, std::size_t from = 0) {
  std::string out;
  for (std::size_t i = from; i < words.size(); ++i) out += (out.empty() ? "" : " ") + words[i];
  return out;
}

// A text that YAML could take for something else stands in quotes.
std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + '"';
}

std::string value_text(const std::string& text) {
  const bool plain = text.find_first_of(":#{}[],&*!|>'\"%@`\\") == std::string::npos;
  return plain ? text : quoted(text);
}

// The words between commas: "a 1 mm, b 2 mm".
std::vector<Words> phrases(const Words& words) {
  std::vector<Words> all(1);
  for (std::string word : words) {
    std::size_t from = 0;
    for (std::size_t comma = word.find(','); comma != std::string::npos; comma = word.find(',', from)) {
      if (comma > from) all.back().push_back(word.substr(from, comma - from));
      if (!all.back().empty()) all.emplace_back();
      from = comma + 1;
    }
    if (from < word.size()) all.back().push_back(word.substr(from));
  }
  if (all.back().empty()) all.pop_back();
  return all;
}

Words split(const std::vector<std::string>& arguments) {
  Words words;
  for (const std::string& argument : arguments) {
    std::size_t from = 0;
    while (from < argument.size()) {
      const std::size_t end = std::min(argument.find_first_of(" \t", from), argument.size());
      if (end > from) words.push_back(argument.substr(from, end - from));
      from = end + 1;
    }
  }
  return words;
}

std::string did_line(const std::vector<Words>& jobs) {
  if (jobs.empty() || jobs.front().empty()) throw EntryError("'did' needs a job: did tighten_rod 1/4 turns");
  std::string list;
  for (const Words& job : jobs) {
    if (jobs.size() > 1 && job.size() > 1)
      throw EntryError("one job with an amount at a time: did tighten_rod 1/4 turns");
    list += (list.empty() ? "" : ", ") + job.front();
  }
  if (jobs.size() > 1) return fmt::format("did: [{}]", list);
  const Words& job = jobs.front();
  if (job.size() == 1) return "did: " + job.front();
  return fmt::format("did: {{job: {}, amount: {}}}", job.front(), value_text(joined(job, 1)));
}

std::string consent_line(const std::string& answer, std::vector<Words> jobs) {
  std::string up_to;
  if (!jobs.empty()) {
    Words& last = jobs.back();
    const auto ceiling = std::find(last.begin(), last.end(), "up_to");
    if (ceiling != last.end()) {
      if (ceiling + 1 == last.end()) throw EntryError("'up_to' needs a total: up_to 210.00");
      up_to = *(ceiling + 1);
      last.erase(ceiling, last.end());
    }
  }
  std::string list;
  for (const Words& job : jobs) list += (list.empty() ? "" : ", ") + joined(job);
  if (list.empty()) throw EntryError(fmt::format("'{}' needs a job: {} fret_lcp", answer, answer));
  const bool several = jobs.size() > 1;
  const std::string names = several ? "[" + list + "]" : list;
  if (up_to.empty()) return fmt::format("{}: {}", answer, names);
  return fmt::format("{}: {{{}: {}, up_to: {}}}", answer, several ? "jobs" : "job", names, value_text(up_to));
}

std::string strike_line(const Words& words) {
  if (words.size() < 3) throw EntryError("'strike' needs the entry's number and a reason: strike 3 wrong string");
  return fmt::format("strike: {{entry: {}, reason: {}}}", value_text(words[1]), quoted(joined(words, 2)));
}

std::string waiting_line(const Words& words) {
  if (words.size() < 2) throw EntryError("'waiting' needs what for: waiting parts until 2026-09-01");
  const auto until = std::find(words.begin(), words.end(), "until");
  const Words what(words.begin() + 1, until);
  if (until == words.end()) return fmt::format("waiting: {{for: {}}}", quoted(joined(what)));
  return fmt::format("waiting: {{for: {}, until: {}}}", quoted(joined(what)), joined(Words(until + 1, words.end())));
}

std::vector<std::string> reading_lines(const Words& words) {
  std::vector<std::string> lines{"read:"};
  for (const Words& phrase : phrases(words)) {
    if (phrase.size() < 2)
      throw EntryError(fmt::format("'{}' needs a value: {} 0.25 mm", phrase.front(), phrase.front()));
    lines.push_back(fmt::format("  {}: {}", phrase.front(), value_text(joined(phrase, 1))));
  }
  return lines;
}

std::vector<std::string> entry_lines(const Words& words) {
  if (words.empty()) throw EntryError("nothing to note: relief 0.2 mm, or did tighten_rod 1/4 turns");
  const std::string& first = words.front();
  const Words rest(words.begin() + 1, words.end());
  if (first == "did") return {did_line(phrases(rest))};
  if (first == "agreed" || first == "declined" || first == "asked") return {consent_line(first, phrases(rest))};
  if (first == "fitted") {
    if (rest.size() != 1) throw EntryError("'fitted' needs one set or part: fitted set_10_46");
    return {"fitted: " + rest.front()};
  }
  if (first == "retuned") return {"retuned: true"};
  if (first == "closed") return {rest.empty() ? "closed: true" : "closed: " + quoted(joined(rest))};
  if (first == "text") {
    if (rest.empty()) throw EntryError("'text' needs words: text the top looks dry");
    return {"note: " + quoted(joined(rest))};
  }
  if (first == "waiting") return {waiting_line(words)};
  if (first == "strike") return {strike_line(words)};
  return reading_lines(words);
}

// Where the file's list of entries stands, and how far its dashes are indented.
struct Place {
  std::size_t offset = 0;  // after the last entry's line
  std::string indent;
  bool needs_key = false;
};

Place place_in(const std::string& text, const VisitTree& visit) {
  if (visit.log.empty()) return {text.size(), "  ", true};
  const std::size_t begin = visit.log_span.begin;
  if (begin < text.size() && text[begin] == '[')
    throw EntryError("the log stands in [ ]; write its entries one under the other, each after a dash, and note again");
  const std::size_t before = begin == 0 ? std::string::npos : text.rfind('\n', begin - 1);
  const std::size_t line = before == std::string::npos ? 0 : before + 1;
  std::size_t end = std::min<std::size_t>(visit.log_span.end, text.size());
  while (end > 0 && (text[end - 1] == '\n' || text[end - 1] == '\r' || text[end - 1] == ' ')) --end;
  const std::size_t next = text.find('\n', end);
  return {next == std::string::npos ? text.size() : next + 1, text.substr(line, begin - line), false};
}

std::optional<Date> last_date(const VisitTree& visit) {
  std::optional<Date> date;
  for (const LogEntry& entry : visit.log) {
    if (entry.date) date = entry.date;
  }
  return date;
}

}  // namespace

std::string with_entry(const std::string& text, const VisitTree& visit, const std::vector<std::string>& words,
                       Date date) {
  std::vector<std::string> lines = entry_lines(split(words));
  if (last_date(visit) != date) lines.insert(lines.begin(), "date: " + to_text(date));
  const Place place = place_in(text, visit);
  const char* end = text.find("\r\n") != std::string::npos ? "\r\n" : "\n";
  std::string added;
  if (place.offset > 0 && text[place.offset - 1] != '\n') added += end;
  if (place.needs_key) added += std::string("log:") + end;
  for (std::size_t i = 0; i < lines.size(); ++i)
    added += fmt::format("{}{}{}{}", place.indent, i == 0 ? "- " : "  ", lines[i], end);
  std::string out = text;
  return out.insert(place.offset, added);
}

}  // namespace stringline
