// Scalars that are single values: numbers, times, money, percentages, dates, gauges. Each function takes any node,
// reports what it can not read at its place, and returns nothing exactly when it reported at least one error.
// Tested by tests/unit/read_house_test.cc and read_visit_test.cc.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"
#include "engine/value/money.h"

namespace stringline {

[[nodiscard]] std::optional<Number> read_value(const Node& node, Diagnostics& out);         // any number, any unit
[[nodiscard]] std::optional<Number> read_positive(const Node& node, Diagnostics& out);      // over zero
[[nodiscard]] std::optional<Number> read_not_negative(const Node& node, Diagnostics& out);  // zero or over
[[nodiscard]] std::optional<Number> read_time(const Node& node, Diagnostics& out);          // over zero: 15 min
[[nodiscard]] std::optional<Number> read_share(const Node& node, Diagnostics& out);         // 25 %
// 85.00, of the house's currency where that is known; never below zero.
[[nodiscard]] std::optional<Number> read_money(const Node& node, const std::optional<Currency>& currency,
                                               Diagnostics& out);
// A whole number from 1 on.
[[nodiscard]] std::optional<int> read_count(const Node& node, Diagnostics& out);

// Checks made on a number that an expression turned out to be; false when reported.
[[nodiscard]] bool is_money(const Number& number, Span span, const std::optional<Currency>& currency, Diagnostics& out);
[[nodiscard]] bool is_share(const Number& number, Span span, Diagnostics& out);

// "90.00 per h": the amount an hour.
[[nodiscard]] std::optional<Number> read_rate(const Node& node, const std::optional<Currency>& currency,
                                              Diagnostics& out);
// "over 10 %": the share.
[[nodiscard]] std::optional<Number> read_ask_again(const Node& node, Diagnostics& out);
// "10" | {low: 10, typical: 15, high: 30}
[[nodiscard]] std::optional<MinutesTree> read_minutes(const Node& node, Diagnostics& out);
// "24 h" | "7 .. 21 d"
[[nodiscard]] std::optional<WaitTree> read_wait(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<Date> read_date(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<Word> read_currency(const Node& node, Diagnostics& out);
[[nodiscard]] std::optional<Unit> read_length_unit(const Node& node, Diagnostics& out);

// 11p | [11p, 14p, 42w+20w]
[[nodiscard]] std::vector<Course> read_courses(const Node& node, Diagnostics& out);
// A set's name, or gauges.
[[nodiscard]] std::optional<StringsTree> read_strings(const Node& node, Diagnostics& out);

// The decoded bytes [begin, end) of a scalar, as a scalar of its own that knows its place.
[[nodiscard]] Node part_of(const Node& scalar, std::size_t begin, std::size_t end);

// True when the text of a scalar is a range and no single value: "6 .. 9 thou", "0 +- 2 cents", "at most 5 thou".
[[nodiscard]] bool looks_like_range(std::string_view text);

}  // namespace stringline
