// Nodes from two readings that must agree: yaml-cpp says what the document holds, our own scan where it stands.
// A difference is a mistake with its own code, so no author is ever given a value that another YAML reader would not see.
// Of yaml-cpp nothing but its events is used, above all none of its conversions, and none of its texts is shown.
// Tested by tests/property/yaml_second_opinion_test.cc.
#include "engine/syntax/read_yaml.h"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "engine/syntax/yaml_bytes.h"
#include "engine/syntax/yaml_gate.h"

namespace stringline {
namespace {

// The first place where the two readings differ.
struct Disagreement {
  Span where;
};

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(const std::vector<YamlEvent>& scanned, std::size_t offset) : scanned_(scanned), offset_(offset) {}

  void OnDocumentStart(const YAML::Mark&) override {}
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark&, YAML::anchor_t) override { disagree(); }
  void OnAlias(const YAML::Mark&, YAML::anchor_t) override { disagree(); }
  void OnAnchor(const YAML::Mark&, const std::string&) override { disagree(); }

  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    const YamlEvent& event = next(YamlEvent::Kind::scalar, anchor);
    const std::string_view plain = event.style == ScalarStyle::plain ? "?" : "!";
    if (begin(mark) != event.span.begin || value != event.text || tag != plain) disagree();
    Node node;
    node.span = event.span;
    node.text = value;
    node.style = event.style;
    node.embedded = event.embedded;
    place(std::move(node));
  }

  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value style) override {
    open(YamlEvent::Kind::list, NodeKind::list, mark, tag, anchor, style);
  }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value style) override {
    open(YamlEvent::Kind::map, NodeKind::map, mark, tag, anchor, style);
  }
  void OnSequenceEnd() override { close(NodeKind::list); }
  void OnMapEnd() override { close(NodeKind::map); }

  // The document, once all of it was heard.
  [[nodiscard]] Node take() {
    if (index_ != scanned_.size() || !open_.empty() || !root_) disagree();
    return std::move(*root_);
  }

 private:
  struct Open {
    Node node;
    std::optional<Node> key;
  };

  [[noreturn]] void disagree() const {
    if (index_ == 0) throw Disagreement{scanned_.front().span};
    throw Disagreement{scanned_[std::min(index_, scanned_.size()) - 1].span};
  }

  [[nodiscard]] std::size_t begin(const YAML::Mark& mark) const { return static_cast<std::size_t>(mark.pos) + offset_; }

  const YamlEvent& next(YamlEvent::Kind kind, YAML::anchor_t anchor) {
    if (index_ == scanned_.size()) disagree();
    const YamlEvent& event = scanned_[index_++];
    if (event.kind != kind || anchor != YAML::NullAnchor) disagree();
    return event;
  }

  void open(YamlEvent::Kind kind, NodeKind node_kind, const YAML::Mark& mark, const std::string& tag,
            YAML::anchor_t anchor, YAML::EmitterStyle::value style) {
    const YamlEvent& event = next(kind, anchor);
    const bool in_flow = style == YAML::EmitterStyle::Flow;
    if (tag != "?" || in_flow != event.flow || (in_flow && begin(mark) != event.span.begin)) disagree();
    Open opened;
    opened.node.kind = node_kind;
    opened.node.span = event.span;
    open_.push_back(std::move(opened));
  }

  void close(NodeKind kind) {
    next(YamlEvent::Kind::end, YAML::NullAnchor);
    if (open_.empty() || open_.back().node.kind != kind || open_.back().key) disagree();
    Node node = std::move(open_.back().node);
    open_.pop_back();
    place(std::move(node));
  }

  void place(Node node) {
    if (open_.empty()) {
      if (root_) disagree();
      root_ = std::move(node);
      return;
    }
    Open& into = open_.back();
    if (into.node.is_list()) {
      into.node.items.push_back(std::move(node));
    } else if (into.key) {
      into.node.entries.push_back({std::move(*into.key), std::move(node)});
      into.key.reset();
    } else {
      if (!node.is_scalar()) disagree();
      into.key = std::move(node);
    }
  }

  const std::vector<YamlEvent>& scanned_;
  std::size_t offset_;
  std::size_t index_ = 0;
  std::vector<Open> open_;
  std::optional<Node> root_;
};

// Spaces behind the last line end mean nothing, but yaml-cpp takes them for a line of a folded text.
std::string_view without_last_blanks(std::string_view text) {
  const std::size_t end = text.find_last_not_of(' ');
  return end != std::string_view::npos && text[end] == '\n' ? text.substr(0, end + 1) : text;
}

// The line round a place where the library stopped.
Span rest_of_line(SourceId source, std::string_view text, std::size_t at) {
  const std::size_t begin = std::min(at, text.size());
  const std::size_t end = std::min(text.find('\n', begin), text.size());
  return {source, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
}

}  // namespace

std::optional<Node> read_yaml(SourceId source, const Sources& sources, Diagnostics& out) {
  std::vector<YamlEvent> events;
  if (!yaml_gate(source, sources, out, events)) return std::nullopt;
  const std::string_view text = sources.text(source);
  const std::size_t offset = text.starts_with(byte_order_mark_utf8) ? byte_order_mark_utf8.size() : 0;
  constexpr const char* hint = "put the text in quotes, or write the map or list in lines of its own";
  try {
    std::istringstream stream{std::string(without_last_blanks(text.substr(offset)))};
    YAML::Parser parser(stream);
    TreeBuilder builder(events, offset);
    parser.HandleNextDocument(builder);
    return builder.take();
  } catch (const YAML::Exception& refused) {
    const std::size_t at = refused.mark.is_null() ? 0 : static_cast<std::size_t>(refused.mark.pos);
    out.report(Code::unreadable_yaml, rest_of_line(source, text, at + offset), "the text can not be read from here on",
               hint);
  } catch (const Disagreement& difference) {
    out.report(Code::ambiguous_yaml, difference.where, "YAML readers differ about this text", hint);
  }
  return std::nullopt;
}

}  // namespace stringline
