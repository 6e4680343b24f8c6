#include "engine/paper/estimate_json.h"

#include <nlohmann/json.hpp>

namespace stringline {
namespace {

using Json = nlohmann::ordered_json;

Json json_of(const Cost& cost) { return {{"low", cost.low}, {"typical", cost.typical}, {"high", cost.high}}; }

const char* word(LineKind kind) {
  switch (kind) {
    case LineKind::package: return "package";
    case LineKind::work: return "work";
    case LineKind::step: return "step";
    case LineKind::rush: return "rush";
    case LineKind::part: return "part";
    case LineKind::minimum: return "minimum";
    case LineKind::fee: return "fee";
    case LineKind::credit: return "credit";
  }
  return "";
}

const char* word(Price::How how) {
  switch (how) {
    case Price::How::flat: return "flat";
    case Price::How::each: return "each";
    case Price::How::time: return "time";
    case Price::How::by_quote: return "by quote";
    case Price::How::none: return "none";
  }
  return "";
}

void put_texts(Json& into, const char* key, const std::vector<std::string>& texts) {
  if (!texts.empty()) into[key] = texts;
}

Json json_of(const EstimateLine& line) {
  Json json{{"kind", word(line.kind)}, {"name", line.name}, {"label", line.label}, {"price", word(line.price.how)}};
  if (line.price.count > 1) json["count"] = line.price.count;
  if (line.price.has_amount()) {
    json["amount"] = json_of(line.amount);
    json["net"] = json_of(line.net);
    json["tax"] = json_of(line.tax);
    json["tax_rate"] = to_decimal(line.tax_rate);
  }
  if (line.job) {
    json["needs_yes"] = line.waits;
    json["asked"] = line.asked;
    json["agreed"] = line.agreed;
    json["done"] = line.done;
  }
  if (line.credited) json["credited"] = true;
  if (!line.included_in.empty()) json["included_in"] = line.included_in;
  if (line.listed) json["listed"] = json_of(*line.listed);
  put_texts(json, "covers", line.covers);
  put_texts(json, "covers_done", line.covers_done);
  if (!line.for_what.empty()) json["for_what"] = line.for_what;
  put_texts(json, "why", line.why);
  put_texts(json, "measured", line.measured);
  put_texts(json, "if_left", line.if_left);
  for (const Instead& instead : line.instead) {
    Json other{{"label", instead.label}, {"amount", json_of(instead.price.cost)}, {"total", json_of(instead.total)}};
    put_texts(other, "leaves", instead.leaves);
    if (!instead.includes.empty()) other["includes"] = instead.includes;
    if (!instead.included_in.empty()) other["included_in"] = instead.included_in;
    json["instead"].push_back(std::move(other));
  }
  if (line.total_with) {
    json["total_with"] = json_of(*line.total_with);
    json["deposit"] = {{"share", to_decimal(line.deposit_share)}, {"amount", json_of(line.deposit)}};
  }
  return json;
}

Json json_of(const Bill& bill) {
  Json json{{"net", json_of(bill.net)}, {"tax", json_of(bill.tax)}, {"total", json_of(bill.total)}};
  for (const TaxSum& sum : bill.taxes)
    json["taxes"].push_back({{"rate", to_decimal(sum.rate)}, {"net", json_of(sum.net)}, {"tax", json_of(sum.tax)}});
  return json;
}

Json json_of(const Ceiling& ceiling) {
  Json json{{"told", ceiling.told},
            {"now", json_of(ceiling.now)},
            {"passed", ceiling.passed},
            {"may_pass", ceiling.may_pass},
            {"ask_again", ceiling.ask_again}};
  if (ceiling.leeway) json["leeway"] = to_decimal(*ceiling.leeway);
  return json;
}

Json json_of(const Timing& timing) {
  Json json{{"bench_minutes",
             {{"low", to_decimal(timing.bench.low)},
              {"typical", to_decimal(timing.bench.typical)},
              {"high", to_decimal(timing.bench.high)}}},
            {"wait_days", {{"low", timing.wait_days_low}, {"high", timing.wait_days_high}}}};
  if (timing.due) json["due"] = to_text(*timing.due);
  if (timing.earliest) json["earliest"] = to_text(*timing.earliest);
  if (timing.latest) json["latest"] = to_text(*timing.latest);
  return json;
}

void add_head(Json& json, const Estimate& estimate, const char* kind) {
  json["kind"] = kind;
  json["shop"] = estimate.shop;
  put_contact(json, estimate.contact);
  json["visit"] = estimate.visit;
  json["instrument"] = estimate.instrument;
  if (!estimate.instrument_id.empty()) json["instrument_id"] = estimate.instrument_id;
  json["date"] = to_text(estimate.date);
  json["currency"] = {{"code", estimate.currency.code}, {"minor_digits", estimate.currency.minor_digits}};
  json["tax_included"] = estimate.tax_included;
  json["stopped"] = estimate.stopped;
  if (estimate.stopped) json["held"] = estimate.held;
  if (estimate.begun) json["finished"] = estimate.finished;
  if (!estimate.owner.empty()) json["owner"] = estimate.owner;
  if (!estimate.says.empty()) json["says"] = estimate.says;
  if (estimate.valid_until) json["valid_until"] = to_text(*estimate.valid_until);
  if (estimate.warranty_days) json["warranty_days"] = *estimate.warranty_days;
  json["lines"] = Json::array();
  for (const EstimateLine& line : estimate.lines) json["lines"].push_back(json_of(line));
  json["bill"] = json_of(estimate.bill);
  put_texts(json, "unpriced", estimate.unpriced);
  for (const Refused& refused : estimate.declined) {
    Json no{{"label", refused.label}};
    put_texts(no, "stays", refused.stays);
    json["declined"].push_back(std::move(no));
  }
  if (estimate.ceiling) json["ceiling"] = json_of(*estimate.ceiling);
}

}  // namespace

void put_contact(Json& json, const ShopContact& contact) {
  if (!contact.address.empty()) json["address"] = contact.address;
  if (!contact.phone.empty()) json["phone"] = contact.phone;
  if (!contact.email.empty()) json["email"] = contact.email;
}

void add_estimate(Json& json, const Estimate& estimate) {
  add_head(json, estimate, estimate.kind == PaperKind::quote ? "quote" : "estimate");
  put_texts(json, "told", estimate.told);
  for (const OwnerChoice& choice : estimate.choices)
    json["choices"].push_back({{"told", choice.told}, {"ways", choice.ways}});
  put_texts(json, "refer", estimate.refer);
  put_texts(json, "at_once", estimate.at_once);
  put_texts(json, "paid_later", estimate.paid_later);
  put_texts(json, "rests", estimate.rests);
  for (const EstimateLine& offer : estimate.offers) json["offers"].push_back(json_of(offer));
  for (const Later& later : estimate.later) {
    Json entry{{"reading", later.reading}, {"decides", later.decides}};
    put_texts(entry, "covered", later.jobs);
    for (const EstimateLine& line : later.extra) entry["extra"].push_back(json_of(line));
    for (const LaterAsk& ask : later.ask) {
      Json each = json_of(ask.line);
      each["of_rule"] = ask.of_rule;
      if (ask.when) each["if"] = to_text(*ask.when);
      each["likely"] = ask.likely;
      entry["ask"].push_back(std::move(each));
    }
    json["later"].push_back(std::move(entry));
  }
  for (const Blocked& blocked : estimate.blocked)
    json["blocked"].push_back({{"after", blocked.after}, {"jobs", blocked.jobs}});
  if (estimate.with_all_offers) json["with_all_offers"] = json_of(*estimate.with_all_offers);
  if (estimate.afterwards)
    json["afterwards"] = {{"label", estimate.afterwards->label}, {"amount", json_of(estimate.afterwards->price)}};
  if (estimate.at_most) json["at_most"] = json_of(*estimate.at_most);
  if (estimate.if_no) json["if_no"] = json_of(*estimate.if_no);
  put_texts(json, "gone_if_no", estimate.gone_if_no);
  put_texts(json, "new_if_no", estimate.new_if_no);
  json["deposit"] = {{"share", to_decimal(estimate.deposit_share)}, {"amount", json_of(estimate.deposit)}};
  json["timing"] = json_of(estimate.timing);
  put_texts(json, "assumed", estimate.assumed);
  put_texts(json, "cautions", estimate.cautions);
  put_texts(json, "shop_says", estimate.shop_says);
}

void add_final(Json& json, const Estimate& final_bill, const std::optional<Estimate>& told,
               const std::vector<Difference>& differences) {
  add_head(json, final_bill, "bill");
  if (told) {
    json["told"] = json_of(told->bill);
    json["differences"] = Json::array();
    for (const Difference& each : differences) {
      Json entry{{"label", each.label}, {"why", each.why}};
      if (each.told) entry["told"] = json_of(*each.told);
      if (each.now) entry["now"] = json_of(*each.now);
      json["differences"].push_back(std::move(entry));
    }
  }
}

}  // namespace stringline
