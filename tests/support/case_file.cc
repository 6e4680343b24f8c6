#include "tests/support/case_file.h"

#include <charconv>
#include <cstddef>
#include <utility>

namespace stringline {
namespace {

constexpr std::string_view marker = "=== ";

bool take_prefix(std::string_view& text, std::string_view prefix) {
  if (!text.starts_with(prefix)) return false;
  text.remove_prefix(prefix.size());
  return true;
}

bool take_suffix(std::string_view& text, std::string_view suffix) {
  if (!text.ends_with(suffix)) return false;
  text.remove_suffix(suffix.size());
  return true;
}

[[noreturn]] void fail(std::size_t line, std::string_view what) {
  throw CaseError("line " + std::to_string(line) + ": " + std::string(what));
}

// Lines with their newline, so that bodies keep every byte.
std::string_view take_line(std::string_view& rest) {
  const std::size_t end = rest.find('\n');
  const std::string_view line = rest.substr(0, end == std::string_view::npos ? rest.size() : end + 1);
  rest.remove_prefix(line.size());
  return line;
}

std::string_view without_newline(std::string_view line) {
  take_suffix(line, "\n");
  return line;
}

// Puts sections where they belong as they come.
class Builder {
 public:
  void head(std::string_view line, std::size_t number) {
    case_.head += line;
    line = without_newline(line);
    if (take_prefix(line, "args: ")) {
      if (has_args_) fail(number, "a second 'args:'; use '=== run ARGS' sections");
      has_args_ = true;
      start_run(line);
    } else if (take_prefix(line, "from: ")) {
      case_.from = line;
    } else if (line != "args:" && !line.empty() && line[0] != '#') {
      fail(number, "before the first section there may be only '#', 'args:' and 'from:' lines");
    }
  }

  void body(std::string_view line) { current_->body += line; }

  void title(std::string_view line, std::size_t number) {
    CaseSection section;
    section.escaped = take_suffix(line, " escaped");
    current_ = place(line, std::move(section), number);
  }

  Case finish(std::size_t line) {
    if (case_.runs.empty()) fail(line, "neither 'args:' nor a '=== run ARGS' section");
    if (!pending_.empty() && case_.titled_runs) fail(line, "a file after the last run");
    if (!nothing_.body.empty()) fail(line, "text under '=== run' or '=== exit', which have none");
    if (!case_.titled_runs) case_.runs.front().files = std::move(pending_);
    return std::move(case_);
  }

 private:
  void start_run(std::string_view args) {
    CaseRun run;
    run.args = args;
    case_.runs.push_back(std::move(run));
  }

  CaseRun& run(std::size_t number) {
    if (case_.runs.empty()) fail(number, "this section needs a run before it");
    return case_.runs.back();
  }

  CaseSection* keep(std::optional<CaseSection>& slot, CaseSection section, std::size_t number) {
    if (slot) fail(number, "this section is already there");
    return &slot.emplace(std::move(section));
  }

  CaseSection* place_run(std::string_view args, std::size_t number) {
    if (has_args_) fail(number, "'args:' and '=== run ARGS' in one case");
    case_.titled_runs = true;
    start_run(args);
    case_.runs.back().files = std::exchange(pending_, {});
    return &nothing_;
  }

  CaseSection* place_status(std::string_view word, std::size_t number) {
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), run(number).status);
    if (error != std::errc{} || end != word.data() + word.size()) fail(number, "'=== exit' wants a number");
    return &nothing_;
  }

  CaseSection* place_after(std::string_view name, CaseSection section, std::size_t number) {
    section.missing = take_suffix(name, " missing");
    section.name = name;
    return &run(number).after.emplace_back(std::move(section));
  }

  CaseSection* place(std::string_view title, CaseSection section, std::size_t number) {
    if (title == "run") return place_run("", number);
    if (take_prefix(title, "run ")) return place_run(title, number);
    if (take_prefix(title, "exit ")) return place_status(title, number);
    if (take_prefix(title, "after ")) return place_after(title, std::move(section), number);
    if (title == "stdin") return keep(run(number).in, std::move(section), number);
    if (title == "stderr") return keep(run(number).err, std::move(section), number);
    if (title == "stdout") return keep(run(number).out, std::move(section), number);
    if (take_prefix(title, "stdout as ")) {
      section.name = title;
      return keep(run(number).out, std::move(section), number);
    }
    if (title.empty()) fail(number, "a section without a title");
    section.name = title;
    return &pending_.emplace_back(std::move(section));
  }

  Case case_;
  bool has_args_ = false;
  std::vector<CaseSection> pending_;  // files that no run has claimed yet
  CaseSection nothing_;               // takes the body of titles that have none
  CaseSection* current_ = nullptr;
};

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

// `rest` stands after the backslash.
void unescape_one(std::string_view& rest, std::string& out) {
  const char kind = rest.empty() ? '\0' : rest.front();
  rest.remove_prefix(rest.empty() ? 0 : 1);
  switch (kind) {
    case '\\': out += '\\'; return;
    case 't': out += '\t'; return;
    case 'r': out += '\r'; return;
    case 'n': out += '\n'; return;
    case '\n': return;
    case 'x': {
      const int high = rest.size() < 2 ? -1 : hex_digit(rest[0]);
      const int low = rest.size() < 2 ? -1 : hex_digit(rest[1]);
      if (high < 0 || low < 0) throw CaseError("\\x wants two hex digits");
      out += static_cast<char>(high * 16 + low);
      rest.remove_prefix(2);
      return;
    }
    default: throw CaseError("unknown escape '\\" + std::string(1, kind) + "'");
  }
}

bool is_control(char c) { return (static_cast<unsigned char>(c) < 0x20 && c != '\n') || c == 0x7f; }

// Plain ASCII lines and bytes from 0x80 on are left to the reader's editor, unless they are no UTF-8 sequence at all.
bool is_utf8(std::string_view text) {
  std::size_t pending = 0;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    const bool continues = (byte & 0xC0U) == 0x80U;
    if (continues != (pending > 0)) return false;
    if (continues) {
      --pending;
    } else {
      pending = byte < 0x80 ? 0 : byte < 0xC2 ? 4 : byte < 0xE0 ? 1 : byte < 0xF0 ? 2 : byte < 0xF5 ? 3 : 4;
      if (pending == 4) return false;
    }
  }
  return pending == 0;
}

bool needs_escapes(std::string_view text) {
  if (!text.empty() && text.back() != '\n') return true;
  if (text.starts_with(marker) || text.find("\n=== ") != std::string_view::npos || !is_utf8(text)) return true;
  for (const char c : text) {
    if (is_control(c)) return true;
  }
  return false;
}

void append_hex(std::string& out, char c) {
  constexpr std::string_view digits = "0123456789abcdef";
  const auto byte = static_cast<unsigned char>(c);
  out += "\\x";
  out += digits[byte >> 4U];
  out += digits[byte & 15U];
}

std::string escape(std::string_view text) {
  const bool utf8 = is_utf8(text);
  std::string out;
  bool line_start = true;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\\') {
      out += "\\\\";
    } else if (c == '\t') {
      out += "\\t";
    } else if (c == '\r') {
      out += "\\r";
    } else if (is_control(c) || (!utf8 && static_cast<unsigned char>(c) >= 0x80)) {
      append_hex(out, c);
    } else if (line_start && text.substr(i).starts_with(marker)) {
      append_hex(out, c);
    } else {
      out += c;
    }
    line_start = c == '\n';
  }
  if (!text.empty() && text.back() != '\n') out += "\\\n";
  return out;
}

void print_section(std::string& out, std::string_view title, const CaseSection& section) {
  out += marker;
  out += title;
  if (section.missing) out += " missing";
  if (section.escaped) out += " escaped";
  out += '\n';
  out += section.body;
}

}  // namespace

Case parse_case(std::string_view text) {
  Builder builder;
  bool in_head = true;
  std::size_t number = 0;
  while (!text.empty()) {
    const std::string_view line = take_line(text);
    ++number;
    if (line.back() != '\n') fail(number, "the last line has no newline");
    std::string_view title = without_newline(line);
    if (take_prefix(title, marker)) {
      in_head = false;
      builder.title(title, number);
    } else if (in_head) {
      builder.head(line, number);
    } else {
      builder.body(line);
    }
  }
  return builder.finish(number);
}

std::string print(const Case& c) {
  std::string out = c.head;
  for (const CaseRun& run : c.runs) {
    for (const CaseSection& file : run.files) print_section(out, file.name, file);
    if (c.titled_runs) out += run.args.empty() ? "=== run\n" : "=== run " + run.args + "\n";
    if (run.in) print_section(out, "stdin", *run.in);
    if (run.out) print_section(out, run.out->name.empty() ? "stdout" : "stdout as " + run.out->name, *run.out);
    if (run.err) print_section(out, "stderr", *run.err);
    if (run.status != 0) out += "=== exit " + std::to_string(run.status) + "\n";
    for (const CaseSection& file : run.after) print_section(out, "after " + file.name, file);
  }
  return out;
}

std::string content(const CaseSection& section) {
  if (!section.escaped) return section.body;
  std::string out;
  std::string_view rest = section.body;
  while (!rest.empty()) {
    const char c = rest.front();
    rest.remove_prefix(1);
    if (c == '\\') {
      unescape_one(rest, out);
    } else {
      out += c;
    }
  }
  return out;
}

CaseSection section_for(std::string name, std::string_view text) {
  CaseSection section;
  section.name = std::move(name);
  section.escaped = needs_escapes(text);
  section.body = section.escaped ? escape(text) : std::string(text);
  return section;
}

std::vector<std::string> split_args(std::string_view line) {
  std::vector<std::string> words;
  std::string word;
  bool open = false;  // a word has begun, perhaps with nothing in it yet: ''
  char quote = '\0';
  for (const char c : line) {
    if (quote != '\0') {
      if (c == quote) {
        quote = '\0';
      } else {
        word += c;
      }
    } else if (c == '\'' || c == '"') {
      quote = c;
      open = true;
    } else if (c == ' ') {
      if (open) words.push_back(std::exchange(word, {}));
      open = false;
    } else {
      word += c;
      open = true;
    }
  }
  if (quote != '\0') throw CaseError("a quote in the arguments is not closed");
  if (open) words.push_back(word);
  return words;
}

}  // namespace stringline
