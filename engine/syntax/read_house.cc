// The house file. Money is checked against the currency of the same file, wherever in it the currency stands.
// Tested by tests/unit/read_house_test.cc.
#include "engine/syntax/read_house.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <string>
#include <string_view>
#include <utility>

#include "engine/syntax/key_reader.h"
#include "engine/syntax/read_choice.h"
#include "engine/syntax/read_number.h"

namespace stringline {
namespace {

constexpr std::string_view by_quote = "by quote";

// An expression that is an amount of money where it is a plain number.
ExprPtr read_amount(const Node& node, ReadContext& in) {
  if (node.is_scalar() && node.text == by_quote) {
    in.out.report(Code::bad_form, node.span, "'by quote' is no amount",
                  "a job is priced 'by quote' as a whole, or not");
    return nullptr;
  }
  auto amount = read_expression(node, in.out);
  const auto* number = amount ? std::get_if<Number>(&amount->node) : nullptr;
  if (number != nullptr && !is_money(*number, amount->span, in.currency, in.out)) return nullptr;
  return amount;
}

std::optional<ExprChoice> read_amounts(const Node& node, ReadContext& in) {
  return read_choice<ExprPtr>(
      node, [&in](const Node& leaf, Diagnostics&) { return read_amount(leaf, in); }, in.out);
}

// A share of the bill can not be more than the bill.
bool is_part(const Number& number, Span span, Diagnostics& out) {
  if (number.quantity.value <= Ratio(1)) return true;
  out.report(Code::impossible_share, span, "'" + number.written + "' is more than the whole", "100 % is all of it");
  return false;
}

std::optional<Number> read_part(const Node& node, Diagnostics& out) {
  const auto share = read_share(node, out);
  return share && is_part(*share, node.span, out) ? share : std::nullopt;
}

ExprPtr read_share_expression(const Node& node, Diagnostics& out) {
  auto share = read_expression(node, out);
  const auto* number = share ? std::get_if<Number>(&share->node) : nullptr;
  if (number != nullptr && (!is_share(*number, share->span, out) || !is_part(*number, share->span, out)))
    return nullptr;
  return share;
}

template <auto member, class Tree>
void set_money(const Node& value, Tree& into, ReadContext& in) {
  into.*member = read_money(value, in.currency, in.out);
}

template <auto member, class Tree>
void set_amounts(const Node& value, Tree& into, ReadContext& in) {
  into.*member = read_amounts(value, in);
}

// A word that stands for one value of an enumeration, found in the table of that set.
template <WordSet set, class Value, std::size_t size>
std::optional<Value> read_one_of(const Node& node, const std::array<std::pair<std::string_view, Value>, size>& table,
                                 Diagnostics& out) {
  const auto word = read_word(node, set, out);
  if (!word) return std::nullopt;
  const auto found = std::find_if(table.begin(), table.end(), [&](const auto& row) { return row.first == word->text; });
  assert(found != table.end() && "the table holds every word of keys.def");
  return found->second;
}

std::optional<DateForm> read_date_form(const Node& node, Diagnostics& out) {
  static constexpr std::array<std::pair<std::string_view, DateForm>, 3> table{
      {{"iso", DateForm::iso}, {"day_month", DateForm::day_month}, {"month_day", DateForm::month_day}}};
  return read_one_of<WordSet::date_form>(node, table, out);
}

std::optional<MoneyRounding> read_rounding(const Node& node, Diagnostics& out) {
  static constexpr std::array<std::pair<std::string_view, MoneyRounding>, 4> table{
      {{"half_up", MoneyRounding::half_up},
       {"half_even", MoneyRounding::half_even},
       {"down", MoneyRounding::down},
       {"up", MoneyRounding::up}}};
  return read_one_of<WordSet::rounding>(node, table, out);
}

std::optional<PaperKind> read_paper_kind(const Node& node, Diagnostics& out) {
  static constexpr std::array<std::pair<std::string_view, PaperKind>, 2> table{
      {{"estimate", PaperKind::estimate}, {"quote", PaperKind::quote}}};
  return read_one_of<WordSet::paper_kind>(node, table, out);
}

std::optional<Decide> read_decide(const Node& node, Diagnostics& out) {
  static constexpr std::array<std::pair<std::string_view, Decide>, 3> table{
      {{"clear", Decide::clear}, {"prove", Decide::prove}, {"plain", Decide::plain}}};
  return read_one_of<WordSet::decide>(node, table, out);
}

std::optional<std::vector<Word>> read_list_of_texts(const Node& node, Diagnostics& out) {
  return read_texts(node, out);
}

struct ShowTree {
  std::optional<Unit> length;
  DateForm date = DateForm::iso;
};

const KeyHandlers<ShowTree>& show_keys() {
  static const KeyHandlers<ShowTree> keys{{"length", set<&ShowTree::length, read_length_unit>},
                                          {"date", set_value<&ShowTree::date, read_date_form>}};
  return keys;
}

const KeyHandlers<BenchTree>& bench_keys() {
  static const KeyHandlers<BenchTree> keys{
      {"rate", [](const Node& value, BenchTree& bench,
                  ReadContext& in) { bench.rate = read_rate(value, in.currency, in.out); }},
      {"step", set<&BenchTree::step, read_time>},
      {"minimum", set_money<&BenchTree::minimum>},
  };
  return keys;
}

const KeyHandlers<PackageTree>& package_keys() {
  static const KeyHandlers<PackageTree> keys{
      {"label", set<&PackageTree::label, read_text>},         {"covers", set<&PackageTree::covers, read_names>},
      {"except", set<&PackageTree::except, read_names>},      {"price", set_amounts<&PackageTree::price>},
      {"for_owner", set<&PackageTree::for_owner, read_text>},
  };
  return keys;
}

// 180.00 .. 240.00: what a job costs on a good and on a bad day.
std::optional<RangeExpr> read_between(const Node& node, ReadContext& in) {
  auto range = read_range(node, in.out);
  if (!range) return std::nullopt;
  const auto* low = range->lo ? std::get_if<Number>(&range->lo->node) : nullptr;
  const auto* high = range->hi ? std::get_if<Number>(&range->hi->node) : nullptr;
  if (low == nullptr || high == nullptr || range->aim) {
    in.out.report(Code::bad_form, node.span, "a price is one amount or two", "write '180.00' or '180.00 .. 240.00'");
    return std::nullopt;
  }
  if (!is_money(*low, range->lo->span, in.currency, in.out)) return std::nullopt;
  if (!is_money(*high, range->hi->span, in.currency, in.out)) return std::nullopt;
  if (low->quantity.value <= high->quantity.value) return range;
  in.out.report(Code::impossible_value, node.span, "'" + low->written + "' is more than '" + high->written + "'",
                "write the smaller amount first");
  return std::nullopt;
}

void read_whole_price(const Node& value, PriceTree& price, ReadContext& in) {
  if (value.is_scalar() && looks_like_range(value.text))
    price.between = read_between(value, in);
  else
    price.amount = read_amounts(value, in);
}

const KeyHandlers<PriceTree>& price_keys() {
  static const KeyHandlers<PriceTree> keys{
      {"price", read_whole_price},
      {"label", set<&PriceTree::label, read_text>},
      {"credited", set_value<&PriceTree::credited, read_truth>},
      {"each", set_money<&PriceTree::each>},
      {"at_most", set_money<&PriceTree::at_most>},
      {"includes", set<&PriceTree::includes, read_name>},
  };
  return keys;
}

const KeyHandlers<PartTree>& part_keys() {
  static const KeyHandlers<PartTree> keys{
      {"label", set<&PartTree::label, read_text>},
      {"price", set_money<&PartTree::price>},
      {"cost", set_money<&PartTree::cost>},
      {"strings", set<&PartTree::strings, read_courses>},
  };
  return keys;
}

// fretwork | {fretwork: [refret, level]}
std::optional<PhaseTree> read_phase(const Node& node, Diagnostics& out) {
  if (node.is_map() && node.entries.size() == 1) {
    const MapEntry& entry = node.entries.front();
    const auto name = read_name(entry.key, out);
    auto jobs = read_names(entry.value, out);
    return name ? std::optional<PhaseTree>({*name, std::move(jobs)}) : std::nullopt;
  }
  if (!node.is_scalar()) {
    out.report(Code::wrong_shape, node.span, std::string(describe(node.kind)) + " stands where one phase is wanted",
               "write each phase as an item of its own: 'rod', or '{fretwork: [refret, level]}'");
    return std::nullopt;
  }
  const auto name = read_name(node, out);
  return name ? std::optional<PhaseTree>({*name, {}}) : std::nullopt;
}

}  // namespace

std::vector<PhaseTree> read_order(const Node& list, Diagnostics& out) {
  std::vector<PhaseTree> order;
  ListedOnce listed;
  for (const Node* item : one_or_list(list, out)) {
    auto phase = read_phase(*item, out);
    if (phase && listed.is_new(phase->name, out)) order.push_back(std::move(*phase));
  }
  return order;
}

namespace {

// Exactly one of two keys that say the same thing in two ways.
void want_one_of(const MapEntry& entry, std::string_view one, std::string_view other, Diagnostics& out) {
  const bool has_one = find_value(entry.value, one) != nullptr;
  const bool has_other = find_value(entry.value, other) != nullptr;
  if (has_one != has_other) return;
  const std::string words = "'" + std::string(one) + "' or '" + std::string(other) + "'";
  if (has_one)
    out.report(Code::bad_form, entry.key.span, "'" + entry.key.text + "' says both " + words, "write one of them");
  else
    out.report(Code::missing_key, entry.key.span, "'" + entry.key.text + "' needs the key " + words);
}

// 180.00 | 180.00 .. 240.00 | by quote | {each: 8.00, at_most: 30.00, includes: setup} | a table
void read_price(const MapEntry& entry, HouseTree& house, ReadContext& in) {
  PriceTree price;
  const auto name = read_name(entry.key, in.out);
  if (name) price.name = *name;
  if (entry.value.is_scalar() && entry.value.text == by_quote) {
    price.by_quote = true;
  } else if (entry.value.is_map() && !is_table(entry.value)) {
    read_map(entry.value, KeyContext::price, entry.key.span, price_keys(), price, in);
    want_one_of(entry, "price", "each", in.out);
    const Node* most = find_value(entry.value, "at_most");
    if (most != nullptr && find_value(entry.value, "price") != nullptr && find_value(entry.value, "each") == nullptr)
      in.out.report(Code::bad_form, most->span, "'at_most' limits what 'each' comes to, and here is no 'each'",
                    "write {each: 8.00, at_most: 30.00}, or the price alone");
  } else {
    read_whole_price(entry.value, price, in);
  }
  if (name) house.prices.push_back(std::move(price));
}

void read_house_parts(const Node& map, HouseTree& house, ReadContext& in) {
  read_parts(map, KeyContext::part, part_keys(), house.parts, in);
  for (const MapEntry& entry : map.entries) {
    if (entry.value.is_map()) want_one_of(entry, "price", "cost", in.out);
  }
}

void read_prices(const Node& map, HouseTree& house, ReadContext& in) {
  for (const MapEntry& entry : map.entries) read_price(entry, house, in);
}

void read_rush(const Node& map, HouseTree& house, ReadContext& in) {
  for (const MapEntry& entry : map.entries) {
    const auto name = read_name(entry.key, in.out);
    const auto share = read_share(entry.value, in.out);
    if (name && share) house.rush.push_back(RushTree{*name, *share});
  }
}

const KeyHandlers<TaxTree>& tax_keys() {
  static const KeyHandlers<TaxTree> keys{
      {"rate", set<&TaxTree::rate, read_part>},
      {"work", set<&TaxTree::work, read_part>},
      {"parts", set<&TaxTree::parts, read_part>},
      {"fees", set<&TaxTree::fees, read_part>},
      {"included", set_value<&TaxTree::included, read_truth>},
      {"per_line", set_value<&TaxTree::per_line, read_truth>},
  };
  return keys;
}

// 20 % | {rate: 20 %, parts: 5 %, included: true}
void read_tax(const Node& value, HouseTree& house, ReadContext& in) {
  if (value.is_map())
    read_map(value, KeyContext::tax, value.span, tax_keys(), house.tax, in);
  else
    house.tax.rate = read_part(value, in.out);
}

const KeyHandlers<StorageTree>& storage_keys() {
  static const KeyHandlers<StorageTree> keys{
      {"free", set<&StorageTree::free, read_time>},
      {"per_day", set_money<&StorageTree::per_day>},
  };
  return keys;
}

const KeyHandlers<PaperTree>& paper_keys() {
  static const KeyHandlers<PaperTree> keys{
      {"kind", set_value<&PaperTree::kind, read_paper_kind>},
      {"valid_for", set<&PaperTree::valid_for, read_time>},
      {"warranty", set<&PaperTree::warranty, read_time>},
      {"says", set_value<&PaperTree::says, read_list_of_texts>},
  };
  return keys;
}

const KeyHandlers<HandoverTree>& handover_keys() {
  static const KeyHandlers<HandoverTree> keys{
      {"come_back", set<&HandoverTree::come_back, read_time>},
      {"care", set_value<&HandoverTree::care, read_list_of_texts>},
  };
  return keys;
}

const KeyHandlers<HouseTree>& house_keys() {
  static const KeyHandlers<HouseTree> keys{
      {"house", set_value<&HouseTree::name, read_name>},
      {"label", set<&HouseTree::label, read_text>},
      {"address", set<&HouseTree::address, read_text>},
      {"phone", set<&HouseTree::phone, read_text>},
      {"email", set<&HouseTree::email, read_text>},
      {"currency", set<&HouseTree::currency, read_currency>},
      {"show",
       [](const Node& value, HouseTree& house, ReadContext& in) {
         ShowTree show;
         read_map(value, KeyContext::show, value.span, show_keys(), show, in);
         house.show_length = show.length;
         house.show_date = show.date;
       }},
      {"decide", set_value<&HouseTree::decide, read_decide>},
      {"order", set<&HouseTree::order, read_order>},
      {"bench", [](const Node& value, HouseTree& house,
                   ReadContext& in) { read_map(value, KeyContext::bench, value.span, bench_keys(), house.bench, in); }},
      {"packages", [](const Node& value, HouseTree& house,
                      ReadContext& in) { read_parts(value, KeyContext::package, package_keys(), house.packages, in); }},
      {"prices", read_prices},
      {"parts", read_house_parts},
      {"deposit", [](const Node& value, HouseTree& house,
                     ReadContext& in) { house.deposit = read_choice<ExprPtr>(value, read_share_expression, in.out); }},
      {"ask_again", set<&HouseTree::ask_again, read_ask_again>},
      {"rush", read_rush},
      {"tax", read_tax},
      {"rounding", set_value<&HouseTree::rounding, read_rounding>},
      {"markup", set<&HouseTree::markup, read_share>},
      {"storage",
       [](const Node& value, HouseTree& house, ReadContext& in) {
         read_map(value, KeyContext::storage, value.span, storage_keys(), house.storage.emplace(), in);
       }},
      {"estimate",
       [](const Node& value, HouseTree& house, ReadContext& in) {
         read_map(value, KeyContext::estimate, value.span, paper_keys(), house.paper, in);
       }},
      {"handover",
       [](const Node& value, HouseTree& house, ReadContext& in) {
         read_map(value, KeyContext::handover, value.span, handover_keys(), house.handover, in);
       }},
  };
  return keys;
}

// The currency all money of the file is checked against; none while it is missing or misspelt, which is reported at
// its key.
std::optional<Currency> currency_of(const Node& document) {
  const Node* written = find_value(document, "currency");
  return written != nullptr && written->is_scalar() ? find_currency(written->text) : std::nullopt;
}

}  // namespace

std::optional<HouseTree> read_house(const Node& document, Diagnostics& out) {
  const std::size_t before = out.error_count();
  HouseTree house;
  house.source = document.span.source;
  ReadContext in{out, currency_of(document)};
  const Span owner = document.is_map() && !document.entries.empty() ? document.entries.front().key.span : document.span;
  read_map(document, KeyContext::house, owner, house_keys(), house, in);
  if (out.error_count() > before) return std::nullopt;
  return house;
}

}  // namespace stringline
