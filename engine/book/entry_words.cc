// See entry_words.h.
#include "engine/book/entry_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "engine/book/log_entry.h"
#include "engine/syntax/explain.h"

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

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Where "by how much" begins; the whole size where nothing of the kind is said.
std::size_t amount_in(const Words& words) {
  const auto begins = [](const std::string& word) {
    return is_digit(word.front()) || (word.size() > 1 && word.front() == '-' && is_digit(word[1]));
  };
  return static_cast<std::size_t>(std::find_if(words.begin() + 1, words.end(), begins) - words.begin());
}

bool is_job(const KnownWords& known, const std::string& name) {
  return std::any_of(known.jobs.begin(), known.jobs.end(), [&](const auto& job) { return job.first == name; });
}

std::string did_line(const std::vector<Words>& jobs, const KnownWords& known) {
  if (jobs.empty()) throw EntryError("'did' needs a job: did tighten_rod 1/4 turns");
  Words list;
  for (const Words& job : jobs) {
    const bool one_word =
        known.jobs.empty() || is_job(known, job.front());  // else all before a number is what it is called
    const std::size_t amount = one_word ? 1 : amount_in(job);
    const std::string name = name_text(joined(Words(job.begin(), job.begin() + static_cast<std::ptrdiff_t>(amount))));
    list.push_back(
        amount == job.size() ? name : fmt::format("{{job: {}, amount: {}}}", name, value_text(joined(job, amount))));
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
      if (up_to.front() < '0' || up_to.front() > '9')
        throw EntryError(fmt::format("'up_to' needs a total, and '{}' is none: up_to 210.00", up_to));
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
  if (words.size() < 2 || words[1] == "until")
    throw EntryError("'waiting' needs what for: waiting parts until 2026-09-01");
  const auto until = std::find(words.begin() + 2, words.end(), "until");
  const Words what(words.begin() + 1, until);
  if (until == words.end()) return fmt::format("waiting: {{for: {}}}", quoted(joined(what)));
  if (until + 1 == words.end()) throw EntryError("'until' needs a day: until 2026-09-01");
  return fmt::format("waiting: {{for: {}, until: {}}}", quoted(joined(what)),
                     value_text(joined(Words(until + 1, words.end()))));
}

// relief=0.15mm
void refuse_equals_sign(const Words& phrase) {
  const std::string all = joined(phrase);
  const std::size_t sign = all.find('=');
  if (sign == std::string::npos || sign > phrase.front().size() + 1) return;
  const std::string name = all.substr(0, all.find_last_not_of(' ', sign - 1) + 1);
  const std::size_t value = all.find_first_not_of(' ', sign + 1);
  if (name.empty() || sign == 0 || value == std::string::npos) return;
  throw EntryError(fmt::format("a reading and its value stand side by side, without '=': {} {}", name,
                               rewrite_number(all.substr(value))));
}

std::string without_members(const std::string& word) { return word.substr(0, word.find('.')); }

// tighten_rod done, cut_saddle 0.5 mm
void refuse_job(const Words& phrase, const KnownWords& known) {
  const std::string& name = phrase.front();
  if (!is_job(known, name) || known.readings.count(without_members(name)) > 0) return;
  const std::size_t amount = amount_in(phrase);
  throw EntryError(fmt::format("'{}' is a job, not a reading: did {}{}", name, name,
                               amount < phrase.size() ? " " + joined(phrase, amount) : ""));
}

// relief 0.15 mm nut_gap 0.41 mm
void refuse_second_reading(const Words& phrase, const KnownWords& known) {
  for (std::size_t at = 2; at + 1 < phrase.size(); ++at) {
    if (known.readings.count(without_members(phrase[at])) == 0) continue;
    const Words first(phrase.begin(), phrase.begin() + static_cast<std::ptrdiff_t>(at));
    throw EntryError(fmt::format("a comma stands between two readings: {}, {}", joined(first), joined(phrase, at)));
  }
}

Words readings(const Words& words, const KnownWords& known) {
  Words all;
  for (const Words& phrase : phrases(words)) {
    refuse_equals_sign(phrase);
    refuse_job(phrase, known);
    refuse_second_reading(phrase, known);
    std::string name = phrase.front();
    if (name.size() > 1 && name.back() == ':') name.pop_back();
    if (phrase.size() < 2) throw EntryError(fmt::format("'{}' needs a value: {} 0.25 mm", name, name));
    all.push_back(fmt::format("{}: {}", name_text(name), value_text(joined(phrase, 1))));
  }
  if (all.empty()) throw EntryError("nothing to note: relief 0.2 mm, or did tighten_rod 1/4 turns");
  return all;
}

std::vector<std::string> reading_lines(const Words& words, ReadStyle style, const KnownWords& known) {
  const Words all = readings(words, known);
  std::string line = fmt::format("read: {{{}}}", fmt::join(all, ", "));
  if (style == ReadStyle::braces && line.size() <= longest_line) return {std::move(line)};
  std::vector<std::string> lines{"read:"};
  for (const std::string& each : all) lines.push_back("  " + each);
  return lines;
}

std::string in_lower_case(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

// The name of the one job whose label stands at `at`, as a whole phrase or before how far; a longer label goes first.
const std::pair<std::string, std::string>* labelled(const std::string& text, std::size_t at, const KnownWords& known) {
  const std::pair<std::string, std::string>* found = nullptr;
  bool several = false;
  for (const auto& job : known.jobs) {
    const std::string& label = job.second;
    const std::size_t end = at + label.size();
    const bool here = !label.empty() && in_lower_case(text.substr(at, label.size())) == in_lower_case(label) &&
                      (end == text.size() || text[end] == ',' || text[end] == ' ');
    if (!here || (found != nullptr && found->second.size() > label.size())) continue;
    several = found != nullptr && found->second.size() == label.size();
    found = &job;
  }
  return several ? nullptr : found;
}

// "take wood off the bridge's feet" -> "cut_saddle", at the start of every phrase. A label may hold commas of its own.
std::string with_names(std::string text, const KnownWords& known) {
  for (std::size_t at = 0; at < text.size();) {
    if (const auto* job = labelled(text, at, known)) {
      text.replace(at, job->second.size(), job->first);
      at += job->first.size();
    }
    at = text.find(',', at);
    if (at == std::string::npos) break;
    at = std::min(text.find_first_not_of(' ', at + 1), text.size());
  }
  return text;
}

}  // namespace

std::vector<std::string> entry_lines(const std::vector<std::string>& arguments, ReadStyle style,
                                     const KnownWords& known) {
  const Words words = split(arguments);
  if (words.empty()) throw EntryError("nothing to note: relief 0.2 mm, or did tighten_rod 1/4 turns");
  const std::string& first = words.front();
  const Words rest(words.begin() + 1, words.end());
  const auto jobs = [&] { return phrases(split({with_names(joined(rest), known)})); };
  if (first == "did") return {did_line(jobs(), known)};
  if (first == "agreed" || first == "declined" || first == "asked") return {consent_line(first, jobs())};
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
  return reading_lines(words, style, known);
}

}  // namespace stringline
