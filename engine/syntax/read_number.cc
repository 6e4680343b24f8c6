#include "engine/syntax/read_number.h"

#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "engine/diag/suggest.h"
#include "engine/syntax/key_reader.h"
#include "engine/syntax/parse_expr.h"
#include "engine/syntax/read_word.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

// Without its unit's offset: 0 degC is no step of a tool, and -1 degC no spread.
Ratio as_written(const Number& number) {
  return in_unit(number.quantity.value, number.quantity.unit).value_or(number.quantity.value);
}

bool not_negative(const Number& number, Span span, Diagnostics& out) {
  if (!as_written(number).negative()) return true;
  out.report(Code::impossible_value, span, "'" + number.written + "' is below zero");
  return false;
}

bool positive(const Number& number, Span span, Diagnostics& out) {
  if (as_written(number) > Ratio(0)) return true;
  out.report(Code::impossible_value, span, "'" + number.written + "' is not above zero");
  return false;
}

// "mm, cm, in, thou"
std::string units_of(Dimension dimension) {
  std::string units;
  for (const auto& unit : all_units()) {
    if (unit.dimension == dimension) units += (units.empty() ? "" : ", ") + std::string(unit.written);
  }
  return units;
}

bool is_time(const Number& number, Span span, Diagnostics& out) {
  if (info(number.quantity.unit).dimension == dimension::time) return true;
  out.report(Code::wrong_unit, span, "'" + number.written + "' is not a time",
             "give it one of the units " + units_of(dimension::time));
  return false;
}

bool has_no_unit(const Number& number, Span span, std::string_view wanted, Diagnostics& out) {
  if (number.quantity.unit == Unit::none) return true;
  out.report(Code::wrong_unit, span, "'" + number.written + "' is not " + std::string(wanted),
             "write the number without a unit");
  return false;
}

std::size_t skip_spaces(std::string_view text, std::size_t at) {
  while (at < text.size() && text[at] == ' ') ++at;
  return at;
}

std::optional<Number> read_plain_minutes(const Node& node, Diagnostics& out) {
  const auto number = read_not_negative(node, out);
  if (!number || !has_no_unit(*number, node.span, "a number of minutes", out)) return std::nullopt;
  return number;
}

struct MinutesDraft {
  std::optional<Number> low;
  std::optional<Number> typical;
  std::optional<Number> high;
};

const KeyHandlers<MinutesDraft>& minutes_keys() {
  static const KeyHandlers<MinutesDraft> keys{
      {"low", set<&MinutesDraft::low, read_plain_minutes>},
      {"typical", set<&MinutesDraft::typical, read_plain_minutes>},
      {"high", set<&MinutesDraft::high, read_plain_minutes>},
  };
  return keys;
}

bool in_order(const Number& low, const Number& high, Span span, Diagnostics& out) {
  if (low.quantity.value <= high.quantity.value) return true;
  out.report(Code::impossible_value, span, "'" + low.written + "' is more than '" + high.written + "'",
             "write the smaller value first");
  return false;
}

std::optional<WaitTree> wait_of(const RangeExpr& range, const Node& node, Diagnostics& out) {
  const auto* low = range.lo ? std::get_if<Number>(&range.lo->node) : nullptr;
  const auto* high = range.hi ? std::get_if<Number>(&range.hi->node) : nullptr;
  if (low == nullptr || high == nullptr || range.aim) {
    out.report(Code::bad_form, node.span, "a wait is one time or two", "write '24 h' or '7 .. 21 d'");
    return std::nullopt;
  }
  if (!is_time(*low, node.span, out) || !is_time(*high, node.span, out)) return std::nullopt;
  if (!not_negative(*low, node.span, out) || !in_order(*low, *high, node.span, out)) return std::nullopt;
  return WaitTree{*low, *high};
}

const std::vector<std::string>& currency_codes() {
  static const std::vector<std::string> codes{
#define STRINGLINE_CURRENCY(code, minor_digits) #code,
#include "engine/value/currencies.def"
#undef STRINGLINE_CURRENCY
  };
  return codes;
}

std::string upper(std::string text) {
  for (char& c : text) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  }
  return text;
}

std::string gauge_hint(std::string_view text) {
  const bool plain_number = !text.empty() && text.find_first_not_of("0123456789.") == std::string_view::npos;
  if (plain_number) return "say what it is: '" + std::string(text) + "p' plain, '" + std::string(text) + "w' wound";
  return "gauges are written in thousandths of an inch, '11p' plain, '28w' wound, a course '42w+20w'";
}

// [10p, 10p] is meant as 10p+10p.
std::string pair_hint(const Node& list) {
  std::string course;
  for (const Node& item : list.items) course += (course.empty() ? "" : "+") + item.text;
  return "the strings of one course are joined: '" + (parse_course(course) ? course : "10p+10p") + "'";
}

}  // namespace

std::optional<Number> read_value(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "one value", out)) return std::nullopt;
  return parse_number(node, out);
}

std::optional<Number> read_positive(const Node& node, Diagnostics& out) {
  const auto number = read_value(node, out);
  if (!number || !positive(*number, node.span, out)) return std::nullopt;
  return number;
}

std::optional<Number> read_not_negative(const Node& node, Diagnostics& out) {
  const auto number = read_value(node, out);
  if (!number || !not_negative(*number, node.span, out)) return std::nullopt;
  return number;
}

std::optional<Number> read_time(const Node& node, Diagnostics& out) {
  const auto number = read_value(node, out);
  if (!number || !is_time(*number, node.span, out) || !positive(*number, node.span, out)) return std::nullopt;
  return number;
}

std::optional<Number> read_share(const Node& node, Diagnostics& out) {
  const auto number = read_value(node, out);
  if (!number || !is_share(*number, node.span, out)) return std::nullopt;
  return number;
}

std::optional<Number> read_money(const Node& node, const std::optional<Currency>& currency, Diagnostics& out) {
  const auto number = read_value(node, out);
  if (!number || !is_money(*number, node.span, currency, out)) return std::nullopt;
  return number;
}

std::optional<int> read_count(const Node& node, Diagnostics& out) {
  const auto number = read_positive(node, out);
  if (!number || !has_no_unit(*number, node.span, "a whole number", out)) return std::nullopt;
  const Ratio value = number->quantity.value;
  constexpr std::int64_t most = 1'000'000;
  if (value.den() == 1 && value.num() <= most) return static_cast<int>(value.num());
  out.report(Code::bad_form, node.span, "'" + number->written + "' is not a whole number in reach", "count from 1");
  return std::nullopt;
}

bool is_money(const Number& number, Span span, const std::optional<Currency>& currency, Diagnostics& out) {
  if (!has_no_unit(number, span, "an amount of money", out) || !not_negative(number, span, out)) return false;
  if (!currency) return true;
  const auto exact = to_minor(number.quantity.value, *currency, MoneyRounding::down);
  const auto above = to_minor(number.quantity.value, *currency, MoneyRounding::up);
  if (exact && exact == above) return true;
  out.report(Code::bad_money, span, "'" + number.written + "' is no sum in " + currency->code,
             currency->minor_digits == 0
                 ? currency->code + " has no decimals"
                 : currency->code + " has " + std::to_string(currency->minor_digits) + " decimals");
  return false;
}

bool is_share(const Number& number, Span span, Diagnostics& out) {
  if (number.quantity.unit == Unit::percent) return not_negative(number, span, out);
  out.report(Code::wrong_unit, span, "'" + number.written + "' is not a percentage", "write it with %, as in '25 %'");
  return false;
}

std::optional<Number> read_rate(const Node& node, const std::optional<Currency>& currency, Diagnostics& out) {
  if (!want_scalar(node, "a price of time", out)) return std::nullopt;
  constexpr std::string_view per = " per ";
  const std::size_t at = node.text.find(per);
  const auto unit =
      at == std::string::npos ? std::nullopt : find_unit(std::string_view(node.text).substr(at + per.size()));
  if (!unit || info(*unit).dimension != dimension::time) {
    out.report(Code::bad_form, node.span, "'" + node.text + "' is no price of time", "write '90.00 per h'");
    return std::nullopt;
  }
  auto amount = read_money(part_of(node, 0, at), currency, out);
  if (!amount) return std::nullopt;
  const auto factor = divide(info(Unit::hour).factor, info(*unit).factor);
  const auto hourly = factor ? multiply(amount->quantity.value, *factor) : std::nullopt;
  if (!hourly) {
    out.report(Code::impossible_value, node.span, "'" + node.text + "' is out of reach");
    return std::nullopt;
  }
  return Number{{*hourly, Unit::none}, node.text};
}

std::optional<Number> read_ask_again(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "a percentage", out)) return std::nullopt;
  constexpr std::string_view over = "over ";
  if (node.text.compare(0, over.size(), over) == 0) {
    return read_share(part_of(node, skip_spaces(node.text, over.size()), node.text.size()), out);
  }
  out.report(Code::bad_form, node.span, "'" + node.text + "' does not say when to ask again", "write 'over 10 %'");
  return std::nullopt;
}

std::optional<MinutesTree> read_minutes(const Node& node, Diagnostics& out) {
  if (!node.is_map()) {
    const auto number = read_plain_minutes(node, out);
    return number ? std::optional<MinutesTree>({*number, *number, *number}) : std::nullopt;
  }
  MinutesDraft draft;
  ReadContext in{out, std::nullopt};
  read_map(node, KeyContext::minutes, node.span, minutes_keys(), draft, in);
  if (!draft.low || !draft.typical || !draft.high) return std::nullopt;
  if (!in_order(*draft.low, *draft.typical, node.span, out)) return std::nullopt;
  if (!in_order(*draft.typical, *draft.high, node.span, out)) return std::nullopt;
  return MinutesTree{*draft.low, *draft.typical, *draft.high};
}

std::optional<WaitTree> read_wait(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "a time", out)) return std::nullopt;
  if (!looks_like_range(node.text)) {
    const auto time = read_time(node, out);
    return time ? std::optional<WaitTree>({*time, *time}) : std::nullopt;
  }
  const auto range = parse_range(node, out);
  return range ? wait_of(*range, node, out) : std::nullopt;
}

std::optional<Date> read_date(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "a date", out)) return std::nullopt;
  const auto date = parse_date(node.text);
  if (!date) {
    out.report(Code::bad_date, node.span, "'" + node.text + "' is no date",
               "dates are written year-month-day, as in '2026-08-03'");
  }
  return date;
}

std::optional<Word> read_currency(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "a currency", out)) return std::nullopt;
  if (find_currency(node.text)) return Word{node.text, node.span};
  const auto near = nearest(upper(node.text), currency_codes());
  out.report(Code::unknown_currency, node.span,
             "unknown currency '" + node.text + "'" + (near ? "; did you mean '" + *near + "'?" : std::string()),
             "a currency is its ISO 4217 code, three capital letters");
  return std::nullopt;
}

std::optional<Unit> read_length_unit(const Node& node, Diagnostics& out) {
  if (!want_scalar(node, "a unit of length", out)) return std::nullopt;
  const auto unit = find_unit(node.text);
  if (unit && info(*unit).dimension == dimension::length) return unit;
  out.report(Code::wrong_unit, node.span, "'" + node.text + "' is no unit of length",
             "write one of " + units_of(dimension::length));
  return std::nullopt;
}

std::vector<Course> read_courses(const Node& node, Diagnostics& out) {
  std::vector<Course> courses;
  const auto items = one_or_list(node, out);
  const auto too_many = [&](std::size_t strings) {
    if (strings <= limits::max_strings) return false;
    out.report(Code::too_many, node.span, std::to_string(strings) + " strings are more than an instrument may have",
               "at most " + std::to_string(limits::max_strings));
    return true;
  };
  if (too_many(items.size())) return courses;
  std::size_t strings = 0;
  for (const Node* item : items) {
    if (item->is_list()) {
      out.report(Code::wrong_shape, item->span, "a list stands where a gauge is wanted", pair_hint(*item));
      return {};
    }
    if (!want_scalar(*item, "a gauge", out)) continue;
    if (const auto course = parse_course(item->text)) {
      courses.push_back(*course);
      strings += course->strings.size();
    } else {
      out.report(Code::bad_gauge, item->span, "'" + item->text + "' is no string gauge", gauge_hint(item->text));
    }
  }
  if (too_many(strings)) return {};
  return courses;
}

std::optional<StringsTree> read_strings(const Node& node, Diagnostics& out) {
  if (node.is_scalar() && !parse_course(node.text)) {
    const auto name = read_name(node, out);
    return name ? std::optional<StringsTree>({name, {}, node.span}) : std::nullopt;
  }
  auto courses = read_courses(node, out);
  if (courses.empty()) return std::nullopt;
  return StringsTree{std::nullopt, std::move(courses), node.span};
}

Node part_of(const Node& scalar, std::size_t begin, std::size_t end) {
  Node part;
  part.style = scalar.style;
  part.text = scalar.text.substr(begin, end - begin);
  part.span = scalar.embedded.span(begin, end);
  part.embedded = Embedded(part.span);
  return part;
}

bool looks_like_range(std::string_view text) {
  const auto starts = [&](std::string_view word) { return text.substr(0, word.size()) == word; };
  return starts("at least ") || starts("at most ") || text.find(" ..") != std::string_view::npos ||
         text.find(".. ") != std::string_view::npos || text.find("+-") != std::string_view::npos;
}

}  // namespace stringline
