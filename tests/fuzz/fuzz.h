// What the fuzz targets share. Each target feeds bytes to one entry point and stops on a crash, on a sanitizer's word, or where a
// promise is broken: an input gives a result or at least one error, every report lies inside its text, and rendering never fails.
// tests/fuzz/run builds and runs them all.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "engine/diag/diagnostic.h"
#include "engine/diag/render.h"
#include "engine/text/source.h"

namespace stringline::fuzz {

inline void promise(bool kept, const char* what) {
  if (kept) return;
  std::fprintf(stderr, "broken promise: %s\n", what);
  std::abort();
}

inline void render_all(const Diagnostics& diagnostics, const Sources& sources) {
  for (const Diagnostic& each : diagnostics.list()) {
    promise(each.span.begin <= each.span.end, "a report's end is not before its begin");
    promise(each.span.end <= sources.text(each.span.source).size(), "a report lies inside its text");
  }
  promise(render(diagnostics, sources, true).empty() == diagnostics.list().empty(), "a report is shown");
  promise(!render_json(diagnostics, sources).empty(), "reports have a document");
}

inline std::string text_of(const std::uint8_t* data, std::size_t size) { return {data, data + size}; }

}  // namespace stringline::fuzz
