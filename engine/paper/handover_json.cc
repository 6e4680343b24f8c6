// See handover_json.h.
#include "engine/paper/handover_json.h"

#include <nlohmann/json.hpp>

#include "engine/paper/estimate_json.h"

namespace stringline {
namespace {

using Json = nlohmann::ordered_json;

template <typename Text>
void put(Json& into, const char* key, const Text& text) {
  if (!text.empty()) into[key] = text;
}

Json json_of(const Finding& finding) {
  Json json{{"reading", finding.reading}, {"what", finding.what}};
  put(json, "members", finding.members);
  json["now"] = finding.now;
  put(json, "before", finding.before);
  put(json, "wanted", finding.wanted);
  json["own_range"] = finding.own_range;
  put(json, "asked", finding.asked);
  if (!finding.asked.empty()) json["at_asked"] = finding.at_asked;
  json["verdict"] = to_text(finding.verdict);
  put(json, "since", finding.since);
  put(json, "left_because", finding.left_because);
  return json;
}

void put_dates(Json& json, const Handover& handover) {
  if (handover.come_back) json["come_back"] = to_text(*handover.come_back);
  if (handover.warranty_days) json["warranty_days"] = *handover.warranty_days;
  if (handover.warranty_until) json["warranty_until"] = to_text(*handover.warranty_until);
  for (const auto& [what, until] : handover.good_until)
    json["good_until"].push_back({{"what", what}, {"date", to_text(until)}});
}

}  // namespace

void add_handover(Json& json, const Handover& handover) {
  put(json, "shop", handover.shop);
  put_contact(json, handover.contact);
  json["visit"] = handover.visit;
  put(json, "owner", handover.owner);
  json["instrument"] = handover.instrument;
  put(json, "instrument_id", handover.instrument_id);
  put(json, "says", handover.says);
  json["date"] = to_text(handover.date);
  json["finished"] = handover.finished;
  put(json, "next", handover.next);
  json["readings"] = Json::array();
  for (const Finding& finding : handover.readings) json["readings"].push_back(json_of(finding));
  json["done"] = Json::array();
  for (const WorkDone& done : handover.work) json["done"].push_back({{"date", to_text(done.date)}, {"job", done.text}});
  for (const Refused& refused : handover.declined) {
    Json no{{"label", refused.label}};
    put(no, "stays", refused.stays);
    json["declined"].push_back(std::move(no));
  }
  put_dates(json, handover);
  if (!handover.air.empty()) json["air"] = {{"now", handover.air}, {"wanted", handover.air_wish}};
  put(json, "strings", handover.strings);
  put(json, "tuning", handover.tuning);
  put(json, "aftercare", handover.aftercare);
  put(json, "care", handover.care);
  put(json, "told", handover.told);
}

}  // namespace stringline
