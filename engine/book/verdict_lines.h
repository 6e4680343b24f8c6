// Lines of JSON straight to readings, where nothing but verdicts is wanted: the head of a visit (all but its id, its owner and
// its log) is checked once and then known by its bytes; of the log the numbers are taken as they stand. A line with anything
// unusual in it is not taken, and goes the whole way through reader and check, which also tell what is wrong.
// Tested by tests/unit/verdict_lines_test.cc, which compares both ways.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

#include "engine/book/open_visit.h"
#include "engine/judge/quick_judge.h"

namespace stringline {

class VerdictLines {
 public:
  // Instruments of one kind, as their heads say.
  struct Kind {
    Kind(const Program& program, std::string told);

    Program program;  // without a log
    QuickJudge judge;
    std::string told;  // of the house and the profile, as JSON
    struct Hash {
      using is_transparent = void;
      std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>()(text); }
    };
    std::unordered_map<std::string, PointId, Hash, std::equal_to<>> points;  // that a log may read, by name
    struct Reading {
      bool plain;          // a number without a unit
      double least, most;  // plausible, in counts
    };
    std::vector<Reading> readings;  // by point
  };
  struct Line {
    Kind* kind = nullptr;
    std::string visit;
    Readings readings;
  };

  VerdictLines();
  ~VerdictLines();
  VerdictLines(const VerdictLines&) = delete;
  VerdictLines& operator=(const VerdictLines&) = delete;

  // Nothing where the line has to go the whole way; then `learn` what that made of it.
  [[nodiscard]] std::optional<Line> take(std::string_view json);
  // `visit` is what the line that was not taken came to, `told` what was said of it, as JSON too.
  void learn(const OpenVisit& visit, const Diagnostics& told, const std::string& as_json);

 private:
  struct Walker;
  std::unique_ptr<Walker> walker_;
  std::map<std::string, std::unique_ptr<Kind>, std::less<>> kinds_;  // by head; null: it was seen once
  std::string head_;                                                 // of the line that was looked at last; empty: none
};

}  // namespace stringline
