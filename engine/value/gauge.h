// String gauges as sets are sold: thousandths of an inch, p plain or w wound, mates of a course joined by +: 11p, 42w+20w.
// Tested by tests/unit/gauge_test.cc.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/value/ratio.h"

namespace stringline {

struct Gauge {
  Ratio diameter;  // mm
  bool wound = false;

  friend bool operator==(const Gauge&, const Gauge&) = default;
};

// One course: the first is the string the course is named by, the others its mates. "10.5p" and ".011p" are read too.
struct Course {
  std::vector<Gauge> strings;
  std::string written;
};

[[nodiscard]] std::optional<Course> parse_course(std::string_view text);

}  // namespace stringline
