// The bill against the estimate, line by line. See estimate.h.
#include <fmt/format.h>

#include <algorithm>

#include "engine/estimate/estimate.h"

namespace stringline {
namespace {

// A line is known again by what it is for.
bool same_line(const EstimateLine& a, const EstimateLine& b) { return a.kind == b.kind && a.name == b.name; }

const EstimateLine* find_line(const std::vector<EstimateLine>& lines, const EstimateLine& wanted) {
  const auto found =
      std::find_if(lines.begin(), lines.end(), [&](const EstimateLine& line) { return same_line(line, wanted); });
  return found == lines.end() ? nullptr : &*found;
}

// "you agreed on 2026-06-09, by telephone": the last yes in the log that names the job.
std::string consent_text(const EstimateInput& in, const std::string& job) {
  std::string text;
  for (std::size_t i = 0; i < in.program.log.size() && i < in.visit.log.size(); ++i) {
    const auto& agreed = in.visit.log[i].agreed;
    if (!agreed || in.program.log[i].struck) continue;
    const auto& yes = in.program.log[i].agreed;  // the log may call it by its label
    const bool names = yes && std::any_of(yes->jobs.begin(), yes->jobs.end(),
                                          [&](JobId id) { return in.program.jobs[id].name == job; });
    if (!names) continue;
    text = fmt::format("you agreed to it on {}", to_text(in.program.log[i].date));
    if (agreed->how) text += ", " + agreed->how->text;
  }
  return text;
}

std::string why_added(const EstimateInput& in, const EstimateLine& line) {
  switch (line.kind) {
    case LineKind::part: return "it was fitted";
    case LineKind::work: {
      const std::string consent = consent_text(in, line.name);
      return consent.empty() ? "it was done, and the log holds no yes to it" : consent;
    }
    case LineKind::package:
    case LineKind::step:
    case LineKind::rush:
    case LineKind::minimum:
    case LineKind::fee:
    case LineKind::credit: break;
  }
  return "it follows from the other lines";
}

std::string why_gone(const EstimateInput& in, const EstimateLine& line) {
  if (line.job && std::count(in.judgement.declined.begin(), in.judgement.declined.end(), *line.job) > 0)
    return "you said no to it";
  if (line.kind == LineKind::work || line.kind == LineKind::package) return "it was not done";
  if (line.kind == LineKind::part) return "it was not used";
  return "it follows from the other lines";
}

std::string why_changed(const EstimateInput& in, const EstimateLine& told, const EstimateLine& now) {
  if (now.price.count != told.price.count) return fmt::format("{} instead of {}", now.price.count, told.price.count);
  if (!now.included_in.empty()) return fmt::format("it is part of '{}'", now.included_in);
  if (now.job && now.listed) {
    const std::string consent = consent_text(in, now.name);
    return consent.empty() ? "the price that was agreed" : consent;
  }
  if (!told.price.has_amount()) return "it had no price yet";
  if (!told.amount.is_exact()) return "the estimate was a range";
  return "it follows from the other lines";
}

}  // namespace

std::vector<Difference> differences(const Estimate& told, const Estimate& now, const EstimateInput& in) {
  std::vector<Difference> result;
  for (const EstimateLine& line : now.lines) {
    const EstimateLine* before = find_line(told.lines, line);
    if (before == nullptr) {
      if (!line.amount.is_zero()) result.push_back({line.label, std::nullopt, line.amount, why_added(in, line)});
    } else if (before->amount != line.amount) {
      result.push_back({line.label, before->amount, line.amount, why_changed(in, *before, line)});
    }
  }
  for (const EstimateLine& line : told.lines) {
    if (find_line(now.lines, line) == nullptr && !line.amount.is_zero())
      result.push_back({line.label, line.amount, std::nullopt, why_gone(in, line)});
  }
  return result;
}

}  // namespace stringline
