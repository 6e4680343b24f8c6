// Verdicts, rules, gates, stops and the order of jobs once more, written from the manual alone; see naive_expr.h.
//
// It reads the books of random_book.h: no rods and no bridges on posts, no packages, no wishes but ranges and `leave`.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "tests/support/naive_expr.h"
#include "tests/support/random_book.h"

namespace naive {

struct Outcome {
  std::map<std::string, std::string> verdicts;  // of every member with a target
  std::map<std::string, Range> ranges;          // where it is known which one applies
  std::map<std::string, std::string> gates;     // yes, no, unknown
  std::map<std::string, std::string> stops;
  std::map<std::string, std::string> rules;  // fired, clear, unknown, error
  std::map<std::string, int> ledger;
  std::optional<std::vector<std::string>> jobs;  // planned, in order; nothing: it hangs on more than is worked out here
  std::map<std::string, double> amounts;         // of those jobs: "file n0.2" -> how far its control goes, mm
};

[[nodiscard]] Outcome outcome_of(const stringline::testing::RandomBook& book);

}  // namespace naive
