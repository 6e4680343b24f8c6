#include "engine/check/tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/check/bind.h"
#include "engine/check/evaluate.h"
#include "engine/diag/suggest.h"

namespace stringline {
namespace {

// The value of a band's end; it must not depend on a reading.
std::optional<Ratio> constant(Binder& binder, const ExprPtr& expr, const Type& type) {
  const TypedPtr typed = binder.bind_as(expr, type, {}, "the selector of this table");
  if (!typed) return std::nullopt;
  const Result value = Evaluator(binder.program(), Nothing(binder.program())).evaluate(*typed);
  if (!value.failure && value.value.number.is_exact()) return value.value.number.lo;
  binder.out().report(Code::not_constant, expr->span, "the end of a band must be a value, not something that is read");
  return std::nullopt;
}

std::optional<TypedRowKey> member_key(Binder& binder, const Typed& selector, const RowKey& key) {
  TypedRowKey typed;
  typed.span = key.span;
  const auto wrong = [&](const std::string& wanted) {
    binder.out().report(Code::wrong_row, key.span,
                        fmt::format("the row '{}' is no value of the selector, which is {}", key.member, wanted));
    return std::nullopt;
  };
  switch (selector.type.kind) {
    case Kind::state: {
      const auto& states = binder.program().state_sets[selector.type.states].states;
      if (std::count(states.begin(), states.end(), key.member) == 0) {
        binder.out().report(Code::unknown_state, key.span,
                            fmt::format("unknown row '{}'{}", key.member, did_you_mean(key.member, states)),
                            fmt::format("the rows are {}, otherwise", fmt::join(states, ", ")));
        return std::nullopt;
      }
      typed.kind = TypedRowKey::Kind::state;
      typed.state = key.member;
      return typed;
    }
    case Kind::truth:
      if (key.member != "true" && key.member != "false") return wrong("true or false");
      typed.kind = TypedRowKey::Kind::truth;
      typed.truth = key.member == "true";
      return typed;
    case Kind::number: {
      const auto number = Ratio::parse(key.member);
      if (!number || !(selector.type.dimension == dimension::number)) {
        return wrong(binder.describe(selector.type) + ": write 'up to ..', 'over ..', 'from ..'");
      }
      typed.kind = TypedRowKey::Kind::number;
      typed.number = *number;
      return typed;
    }
    case Kind::pitch: {
      const auto pitch = parse_pitch(key.member);
      if (!pitch) return wrong("a pitch");
      typed.kind = TypedRowKey::Kind::pitch;
      typed.pitch = *pitch;
      return typed;
    }
    case Kind::tuning:
    case Kind::range: break;
  }
  return wrong(binder.describe(selector.type));
}

std::optional<TypedRowKey> band_key(Binder& binder, const Typed& selector, const RowKey& key) {
  if (selector.type.kind != Kind::number) {
    binder.out().report(Code::wrong_row, key.span,
                        fmt::format("a band is for numbers, the selector is {}", binder.describe(selector.type)));
    return std::nullopt;
  }
  TypedRowKey typed;
  typed.span = key.span;
  typed.kind = TypedRowKey::Kind::band;
  typed.lo_belongs = key.kind == RowKey::Kind::from;
  typed.hi_belongs = key.kind != RowKey::Kind::from;
  if (key.lo) typed.lo = constant(binder, key.lo, selector.type);
  if (key.hi) typed.hi = constant(binder, key.hi, selector.type);
  if ((key.lo && !typed.lo) || (key.hi && !typed.hi)) return std::nullopt;
  if (typed.lo && typed.hi && *typed.lo >= *typed.hi) {
    binder.out().report(Code::empty_band, key.span, "no number is in this band: it ends before it begins");
    return std::nullopt;
  }
  return typed;
}

struct Analysis {
  Binder& binder;
  const Typed& selector;
  std::vector<TypedRowKey>& rows;
  Span table;
  bool good = true;

  void complain(Code code, Span span, std::string message, std::vector<Related> related = {}, std::string hint = {}) {
    binder.out().report(code, span, std::move(message), std::move(hint), std::move(related));
    good = false;
  }

  const TypedRowKey* otherwise() const {
    for (const TypedRowKey& row : rows) {
      if (row.kind == TypedRowKey::Kind::otherwise) return &row;
    }
    return nullptr;
  }

  // Members: each once, all of them or `otherwise`.
  void members(const std::vector<std::string>& all) {
    std::map<std::string, Span> seen;
    for (const TypedRowKey& row : rows) {
      std::string name;
      switch (row.kind) {
        case TypedRowKey::Kind::state: name = row.state; break;
        case TypedRowKey::Kind::truth: name = row.truth ? "true" : "false"; break;
        case TypedRowKey::Kind::number: name = to_decimal(row.number); break;
        case TypedRowKey::Kind::pitch: name = std::to_string(row.pitch.note); break;
        default: continue;
      }
      const auto [first, fresh] = seen.emplace(name, row.span);
      if (!fresh) complain(Code::rows_overlap, row.span, "this row stands twice", {{first->second, "first here"}});
    }
    std::vector<std::string> missing;
    for (const std::string& each : all) {
      if (seen.count(each) == 0) missing.push_back(each);
    }
    const TypedRowKey* rest = otherwise();
    if (rest == nullptr && (all.empty() || !missing.empty())) {
      complain(Code::table_hole, table,
               all.empty() ? "this table says nothing for other values"
                           : fmt::format("this table says nothing for {}", fmt::join(missing, ", ")),
               {}, "add the row, or 'otherwise:'");
    }
    if (rest != nullptr && !all.empty() && missing.empty()) {
      complain(Code::dead_row, rest->span, "'otherwise' is never reached: every state has its row");
    }
  }

  std::string shown(Ratio value) const { return to_text(value, unit); }
  Unit unit = Unit::none;

  // Bands: sorted by their lower ends, each must begin where the one before it ends.
  void bands() {
    std::vector<TypedRowKey*> sorted;
    for (TypedRowKey& row : rows) {
      if (row.kind == TypedRowKey::Kind::band) sorted.push_back(&row);
    }
    std::sort(sorted.begin(), sorted.end(), [](const TypedRowKey* a, const TypedRowKey* b) {
      if (a->lo.has_value() != b->lo.has_value()) return !a->lo.has_value();
      return a->lo && *a->lo < *b->lo;
    });
    for (std::size_t i = 0; i < sorted.size(); ++i) {  // `from A` ends where the next band begins
      TypedRowKey& from = *sorted[i];
      const auto begins_above = [&](const TypedRowKey* row) { return row->lo && *row->lo > *from.lo; };
      if (from.hi || !from.lo_belongs) continue;
      const auto next = std::find_if(sorted.begin(), sorted.end(), begins_above);
      if (next == sorted.end()) continue;
      from.hi = (*next)->lo;
      from.hi_belongs = !(*next)->lo_belongs;
    }
    const TypedRowKey* rest = otherwise();
    bool hole = sorted.front()->lo.has_value();
    if (hole && rest == nullptr) {
      complain(Code::table_hole, table,
               fmt::format("this table says nothing {} {}", sorted.front()->lo_belongs ? "under" : "up to",
                           shown(*sorted.front()->lo)),
               {}, "add the row, or 'otherwise:'");
    }
    const TypedRowKey* reach = sorted.front();  // the row that goes highest so far
    for (std::size_t i = 1; i < sorted.size(); ++i) {
      const TypedRowKey& a = *reach;
      const TypedRowKey& b = *sorted[i];
      const bool overlap = !a.hi || !b.lo || *b.lo < *a.hi || (*b.lo == *a.hi && a.hi_belongs && b.lo_belongs);
      const bool gap = a.hi && b.lo && (*a.hi < *b.lo || (*a.hi == *b.lo && !a.hi_belongs && !b.lo_belongs));
      if (overlap) complain(Code::rows_overlap, b.span, "this band overlaps another", {{a.span, "this one"}});
      if (gap) {
        hole = true;
        if (rest == nullptr) {
          complain(Code::table_hole, table,
                   fmt::format("this table says nothing between {} and {}", shown(*a.hi), shown(*b.lo)), {},
                   "let one band end where the next begins, or add 'otherwise:'");
        }
      }
      if (a.hi && (!b.hi || *b.hi > *a.hi || (*b.hi == *a.hi && b.hi_belongs))) reach = &b;
    }
    if (reach->hi) {
      hole = true;
      if (rest == nullptr) {
        complain(Code::table_hole, table, fmt::format("this table says nothing over {}", shown(*reach->hi)), {},
                 "add the row, or 'otherwise:'");
      }
    }
    if (rest != nullptr && !hole)
      complain(Code::dead_row, rest->span, "'otherwise' is never reached: the bands cover every number");
  }
};

Unit first_unit(const ExprPtr& expr) {
  const Number* number = expr ? std::get_if<Number>(&expr->node) : nullptr;
  return number != nullptr ? number->quantity.unit : Unit::none;
}

}  // namespace

std::optional<std::vector<TypedRowKey>> bind_rows(Binder& binder, const Typed& selector,
                                                  const std::vector<RowKey>& keys, Span table) {
  std::vector<TypedRowKey> rows;
  bool good = true;
  bool bands = false;
  const RowKey* first = nullptr;
  Unit unit = Unit::none;
  for (const RowKey& key : keys) {
    if (key.kind == RowKey::Kind::otherwise) {
      TypedRowKey rest;
      rest.span = key.span;
      rows.push_back(rest);
      continue;
    }
    const bool band = key.kind != RowKey::Kind::member;
    if (first != nullptr && band != bands) {
      binder.out().report(Code::mixed_rows, key.span, "one table uses one kind of row", "either members or bands",
                          {{first->span, "the first row is of the other kind"}});
      return std::nullopt;
    }
    first = first == nullptr ? &key : first;
    bands = band;
    if (unit == Unit::none) unit = first_unit(key.lo ? key.lo : key.hi);
    const auto row = band ? band_key(binder, selector, key) : member_key(binder, selector, key);
    good = good && row.has_value();
    if (row) rows.push_back(*row);
  }
  if (!good) return std::nullopt;
  if (first == nullptr) {
    binder.out().report(Code::dead_row, table, "a table with 'otherwise' alone is no table", "write the value itself");
    return std::nullopt;
  }
  Analysis analysis{binder, selector, rows, table};
  analysis.unit = unit;
  std::vector<std::string> all;
  if (selector.type.kind == Kind::state) all = binder.program().state_sets[selector.type.states].states;
  if (selector.type.kind == Kind::truth) all = {"true", "false"};
  if (bands)
    analysis.bands();
  else
    analysis.members(all);
  return analysis.good ? std::optional(rows) : std::nullopt;
}

}  // namespace stringline
