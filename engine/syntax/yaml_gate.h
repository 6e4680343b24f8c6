// What our YAML refuses, found in the raw text before yaml-cpp sees it: see the head of yaml_gate.cc.
#pragma once

#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/yaml_scan.h"
#include "engine/text/source.h"

namespace stringline {

// True when the text may go on to yaml-cpp; else at least one error was reported. Every mistake is looked for, up to
// limits::now().yaml_mistakes of them.
[[nodiscard]] bool yaml_gate(SourceId source, const Sources& sources, Diagnostics& out);

// The same, and what the document holds.
[[nodiscard]] bool yaml_gate(SourceId source, const Sources& sources, Diagnostics& out, std::vector<YamlEvent>& events);

}  // namespace stringline
