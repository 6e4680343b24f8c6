// See house_visits.h.
#include "engine/book/house_visits.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/book/earlier.h"
#include "engine/diag/render.h"

namespace stringline {
namespace {

bool is_closed(const VisitTree& tree) {
  std::set<std::size_t> struck;
  for (const LogEntry& entry : tree.log) {
    if (entry.strike) struck.insert(static_cast<std::size_t>(entry.strike->entry));
  }
  for (std::size_t i = 0; i < tree.log.size(); ++i) {
    if (tree.log[i].closed && struck.count(i + 1) == 0) return true;
  }
  return false;
}

// A file that can not be read holds nothing.
bool holds(const HouseBook& book, const std::string& path, const std::string& words) {
  try {
    return book.read_inside(path).find(words) != std::string::npos;
  } catch (const WorldError&) {
    return false;
  }
}

}  // namespace

std::string what_is_wrong(const HouseVisit& visit, const Sources& sources) {
  if (!visit.wrong.empty()) return visit.wrong;
  const auto all = visit.mistakes.sorted();
  const auto first = std::find_if(all.begin(), all.end(),
                                  [](const Diagnostic& each) { return info(each.code).severity == Severity::error; });
  if (first == all.end()) return visit.path;
  const std::size_t more = visit.mistakes.error_count() - 1;
  return fmt::format("{}: {}{}", place(first->span, sources), first->message,
                     more > 0 ? fmt::format(" (and {} more)", more) : "");
}

HouseVisits::HouseVisits(HouseBook& book, const HouseTree* house, const std::optional<std::string>& instrument,
                         const Tell& tell)
    : book_(book), house_(house), checks_(house) {
  const auto paths = book.visit_paths();
  std::size_t done = 0;
  for (const std::string& path : paths) {
    if (tell) tell(done++, paths.size());
    if (instrument && !holds(book, path, *instrument)) continue;
    HouseVisit visit = read(path);
    const auto is_other = [&](const std::string& id) {
      return visit.tree && (!visit.tree->instrument.id || visit.tree->instrument.id->text != id);
    };
    if (!instrument || !is_other(*instrument)) visits_.push_back(std::move(visit));
  }
  if (instrument) {
    std::stable_sort(visits_.begin(), visits_.end(),
                     [](const HouseVisit& a, const HouseVisit& b) { return a.date < b.date; });
  }
  for (std::size_t i = 0; i < visits_.size(); ++i) {
    const VisitTree* tree = visits_[i].tree.get();
    if (tree != nullptr && tree->instrument.id) by_instrument_[tree->instrument.id->text].push_back(i);
  }
}

HouseVisit HouseVisits::read(const std::string& path) const {
  HouseVisit visit;
  visit.path = path;
  try {
    visit.tree = book_.visit_alone(path, visit.mistakes);
  } catch (const WorldError& error) {
    visit.wrong = error.what();
  }
  if (visit.tree == nullptr) return visit;
  visit.date = first_date(*visit.tree);
  visit.closed = is_closed(*visit.tree);
  return visit;
}

std::shared_ptr<const Program> HouseVisits::checked(const VisitTree& tree, Diagnostics& out) {
  if (!tree.profile) return nullptr;
  auto found = layers_.find(tree.profile->text);
  if (found == layers_.end()) {
    auto layers = book_.layers(*tree.profile, out);
    if (!layers) return nullptr;
    found = layers_.emplace(tree.profile->text, std::move(*layers)).first;
  }
  return checks_.check(found->second, tree, out);
}

// An earlier visit with mistakes is as if it had never been.
std::unique_ptr<const LastVisit> HouseVisits::before(const HouseVisit& visit) {
  if (!visit.tree->instrument.id) return nullptr;
  const HouseVisit* last = nullptr;
  for (const std::size_t at : by_instrument_[visit.tree->instrument.id->text]) {
    const HouseVisit& other = visits_[at];
    if (!came_before(*other.tree, *visit.tree)) continue;
    if (last == nullptr || *last->date <= *other.date) last = &other;
  }
  if (last == nullptr) return nullptr;
  Diagnostics unheard;
  const auto program = checked(*last->tree, unheard);
  return program ? std::make_unique<const LastVisit>(last_visit_of(*program, judge(*program))) : nullptr;
}

const HouseVisit* HouseVisits::judged(std::size_t at, std::optional<Date> today) {
  HouseVisit& visit = visits_.at(at);
  if (visit.judgement) return &visit;
  if (visit.tree == nullptr || visit.mistakes.has_errors()) return nullptr;
  visit.last = before(visit);  // first: it is as a rule of the same kind
  visit.program = checked(*visit.tree, visit.mistakes);
  if (!visit.program) return nullptr;
  visit.judgement = judge(*visit.program, {today, visit.last.get()});
  return &visit;
}

void HouseVisits::release(std::size_t at) {
  HouseVisit& visit = visits_.at(at);
  visit.judgement.reset();
  visit.last.reset();
  visit.program.reset();
}

}  // namespace stringline
