// The scanner behind scan_yaml, for yaml_scan.cc, yaml_flow.cc, yaml_scalar.cc and yaml_words.cc alone.
//
// Conventions: a function that reads something returns false exactly when the caller can not go on behind it; it has then
// reported why, and the caller skips the line and everything that stands deeper, so that one cause gives one report.
// `parent` is the column of the innermost block (from 0), -1 for none: what belongs to a value stands deeper than that.
// Every character is looked at a bounded number of times, so the cost is linear in the text.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "engine/syntax/yaml_scan.h"

namespace stringline {

inline constexpr std::size_t max_yaml_key_bytes = 1'000;  // what every YAML reader takes as a key without '?'

class YamlScanner {
 public:
  YamlScanner(SourceId source, std::string_view text) : source_(source), text_(text) {
    events_.reserve(text.size() / 16);  // about as many as a profile has
  }

  // Reads the whole document; once.
  void document();

  [[nodiscard]] std::vector<YamlEvent> take_events() { return std::move(events_); }
  [[nodiscard]] const std::vector<Diagnostic>& reports() const { return reports_; }

 private:
  using Keys = std::unordered_map<std::string, Span>;
  class Decoded;

  // A text without quotes, from its first to behind its last character.
  struct Plain {
    std::size_t begin = 0;
    std::size_t end = 0;
  };
  // In { }: the text before an entry without a colon, which may be the rest of it.
  struct FlowText {
    Span text;
    bool reported = false;
  };
  struct BlockHead {
    char chomp = ' ';  // + - or none
    int indent = 0;    // 1 to 9, or none
  };
  // One line of a block of text, without its indentation and break.
  struct BlockLine {
    std::size_t begin = 0;
    std::size_t end = 0;
  };
  using BlockText = std::vector<BlockLine>;

  // --- yaml_scan.cc: lines, block maps and block lists
  void preamble();
  [[nodiscard]] bool marker_at(std::size_t at, std::string_view marker) const;
  int to_content();
  int marker();
  void start_marker(std::size_t line);
  int tabs_in_indentation();
  bool block_node(int parent, int column, std::size_t depth);
  void block_map(int column, std::size_t depth);
  bool map_line(int column, std::size_t depth, Keys& keys);
  bool map_value(int column, std::size_t depth, Span key);
  void not_a_key(int column);
  void line_without_colon();
  void block_list(int column, std::size_t depth, bool at_key_column);
  bool list_item(int column, std::size_t depth);
  bool inline_value(int parent, std::size_t depth);
  [[nodiscard]] bool text_follows() const;
  bool after_value(std::size_t begin);
  void deeper_line(int column);
  void recover(int column);
  [[nodiscard]] bool next_line_is_key(int column);

  // --- yaml_flow.cc: [ ] and { }
  bool flow(int parent, std::size_t depth);
  bool flow_entries(int parent, std::size_t depth, bool map);
  bool flow_space(int parent);
  bool flow_map_entry(int parent, std::size_t depth, Keys& keys, FlowText& before);
  bool flow_list_entry(int parent, std::size_t depth);
  bool flow_value(int parent, std::size_t depth);
  bool flow_key(int parent, std::size_t depth);
  void flow_alone(const YamlEvent& key, FlowText& before);
  [[nodiscard]] std::size_t end_of_comma_text(std::size_t end) const;
  bool flow_separator();
  bool flow_not_too_long();
  bool unclosed_bracket();
  bool wrong_bracket(char wanted);

  // --- yaml_scalar.cc: texts and their maps back to the file
  bool quoted(int parent);
  bool quoted_body(int parent, char quote, Decoded& out);
  bool quoted_break(int parent, char quote, Decoded& out, bool escaped);
  void escape(Decoded& out);
  std::optional<char32_t> escaped(char letter);
  bool unclosed_quote(std::size_t quote);
  bool block_scalar(int parent);
  bool block_head(BlockHead& head);
  void refuse_block_head(std::size_t begin);
  int block_indent(int parent);
  BlockText block_lines(int indent);
  std::size_t block_text(const BlockText& lines, bool folded, char chomp, Decoded& out) const;
  Plain plain(bool in_flow);
  void push_plain(Plain text);
  bool plain_value(bool in_flow);

  // --- yaml_words.cc: what single words and characters may not be
  [[nodiscard]] bool plain_start(std::size_t i, bool in_flow) const;
  [[nodiscard]] bool key_ahead() const;
  bool may_begin_text(bool in_flow);
  void check_key(const YamlEvent& key);
  void check_null(Span text);
  bool refuse_merge_key(Span key);
  void note_key(const YamlEvent& key, Keys& keys);
  void check_look_alikes(Span text);
  [[nodiscard]] bool look_alike_space_at(std::size_t i) const;
  void look_alike_found(char32_t point, Span where, Span text);
  void check_comment_cut(Span text);
  [[nodiscard]] std::string rest_of_line(std::size_t from) const;

  // --- small things, yaml_scan.cc
  [[nodiscard]] bool done() const { return pos_ >= text_.size(); }
  [[nodiscard]] char at(std::size_t i) const { return i < text_.size() ? text_[i] : '\0'; }
  [[nodiscard]] char here() const { return at(pos_); }
  [[nodiscard]] bool break_at(std::size_t i) const;
  [[nodiscard]] bool blank_at(std::size_t i) const { return at(i) == ' ' || at(i) == '\t'; }
  [[nodiscard]] bool space_or_break_at(std::size_t i) const { return blank_at(i) || break_at(i); }
  [[nodiscard]] std::size_t line_begin(std::size_t i) const;
  [[nodiscard]] std::size_t line_end(std::size_t i) const;
  [[nodiscard]] int column_of(std::size_t i) const { return static_cast<int>(i - line_begin(i)); }
  [[nodiscard]] bool dash_ahead() const { return here() == '-' && space_or_break_at(pos_ + 1); }
  [[nodiscard]] std::size_t next_line(std::size_t i) const;
  void skip_break();
  void skip_blanks();
  void skip_comment();
  void report_tab(std::size_t tab);
  [[nodiscard]] Span span(std::size_t begin, std::size_t end) const;
  [[nodiscard]] std::string_view words(Span of) const { return text_.substr(of.begin, of.end - of.begin); }
  bool enter(std::size_t depth);
  std::size_t open(YamlEvent::Kind kind, bool flow, std::size_t begin);
  void close(std::size_t event, std::size_t end);
  void push(YamlEvent event);
  bool count_words(const YamlEvent& scalar);
  void report(Code code, Span where, std::string message, std::string hint = {}, std::vector<Related> related = {});
  void stop() {
    stopped_ = true;
    pos_ = text_.size();
  }

  SourceId source_;
  std::string_view text_;
  std::size_t pos_ = 0;
  std::size_t start_ = 0;                          // behind a byte order mark
  bool stopped_ = false;                           // nothing more is read or reported
  std::size_t tab_line_ = std::string_view::npos;  // the line whose tab was reported last
  std::size_t flow_begin_ = 0;                     // the outermost [ or {
  std::size_t nodes_ = 0;
  std::size_t words_ = 0;
  std::vector<std::size_t> brackets_;  // where the open ones stand
  std::size_t last_end_ = 0;           // behind the last value
  int last_column_ = -1;               // of the block that was closed last, -1 when a value on one line came last
  Span last_key_;                      // of the map line read last
  std::vector<YamlEvent> events_;
  std::vector<Diagnostic> reports_;
};

// `text` in the quotes that suit it.
[[nodiscard]] std::string in_quotes(std::string_view text);
// `text`, shortened for a message.
[[nodiscard]] std::string brief(std::string_view text);

}  // namespace stringline
