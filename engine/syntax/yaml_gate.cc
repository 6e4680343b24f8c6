// What our YAML refuses. The library behind the gate takes duplicate keys, lets a quote stay open, leaves out what follows
// the first document and turns `when: !done` into an empty text, all without a word; so the raw text is read here first,
// and nothing passes that is not read in full.
//
// Accepted: block maps and lists, { } and [ ], texts without quotes on one line, both quotes (also over several lines),
// | and > blocks, comments, one '---' at the start, a UTF-8 byte order mark, line ends LF or CRLF.
// Refused, each with a code of its own (section E1 of diag/catalog.def): all else of YAML, above all tags, anchors, aliases,
// merge keys, complex keys, directives, several documents and texts without quotes over several lines.
// Tested by tests/golden/yaml, tests/unit/yaml_gate_test.cc and tests/property/yaml_second_opinion_test.cc.
#include "engine/syntax/yaml_gate.h"

#include "engine/syntax/yaml_bytes.h"
#include "engine/syntax/yaml_scan.h"

namespace stringline {

bool yaml_gate(SourceId source, const Sources& sources, Diagnostics& out, std::vector<YamlEvent>& events) {
  const std::size_t before = out.error_count();
  const std::string_view text = sources.text(source);
  if (!check_bytes(source, text, out)) return false;
  events = scan_yaml(source, text, out);
  return out.error_count() == before;
}

bool yaml_gate(SourceId source, const Sources& sources, Diagnostics& out) {
  std::vector<YamlEvent> events;
  return yaml_gate(source, sources, out, events);
}

}  // namespace stringline
