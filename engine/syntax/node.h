// A YAML document as spanned nodes: what stands where, without any meaning yet.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/text/embedded.h"
#include "engine/text/span.h"

namespace stringline {

enum class NodeKind : std::uint8_t { scalar, list, map };
enum class ScalarStyle : std::uint8_t { plain, single_quoted, double_quoted, literal, folded };

struct Node;
struct MapEntry;

struct Node {
  NodeKind kind = NodeKind::scalar;
  Span span;                               // the whole node as written, quotes and brackets with it
  std::string text;                        // scalar: decoded
  ScalarStyle style = ScalarStyle::plain;  // scalar
  Embedded embedded;                       // scalar: decoded offset -> file
  std::vector<Node> items;                 // list
  std::vector<MapEntry> entries;           // map, in the order of the file; keys are scalars and differ

  [[nodiscard]] bool is_scalar() const { return kind == NodeKind::scalar; }
  [[nodiscard]] bool is_list() const { return kind == NodeKind::list; }
  [[nodiscard]] bool is_map() const { return kind == NodeKind::map; }
};

struct MapEntry {
  Node key;
  Node value;
};

// "a map", "a list", "a text": for messages.
[[nodiscard]] inline const char* describe(NodeKind kind) {
  switch (kind) {
    case NodeKind::scalar: return "a single value";
    case NodeKind::list: return "a list";
    case NodeKind::map: return "a map";
  }
  return "";
}

}  // namespace stringline
