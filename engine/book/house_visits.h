// All visits of a house, or those of one instrument, each read and judged apart: a mistake in one does not spoil the others.
//
// A file is read at once; it is checked and judged when somebody asks, with the last visit of the same instrument before it
// (by first date) as the judge wants it. Tested by the golden cases of `board` and `drift`.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/book/book.h"
#include "engine/check/check.h"
#include "engine/judge/judge.h"

namespace stringline {

struct HouseVisit {
  std::string path;
  std::string wrong;                       // the file is no visit, or can not be read; else empty
  Diagnostics mistakes;                    // in it
  std::unique_ptr<const VisitTree> tree;   // null: it has mistakes
  std::optional<Date> date;                // of its first entry
  bool closed = false;                     // by an entry that was not struck
  std::shared_ptr<const Program> program;  // once judged, like what follows
  std::unique_ptr<const LastVisit> last;
  std::optional<Judgement> judgement;
};

// The first mistake with its place, and how many more there are.
[[nodiscard]] std::string what_is_wrong(const HouseVisit& visit, const Sources& sources);

// Hears how many of all files are done with.
using Tell = std::function<void(std::size_t done, std::size_t all)>;

class HouseVisits {
 public:
  // Every visit file of the book's house; with `instrument`, those whose instrument has this id, in the order of their dates.
  // `house` is the book's own and may be null. Files whose text does not hold the id are not looked at.
  HouseVisits(HouseBook& book, const HouseTree* house, const std::optional<std::string>& instrument = std::nullopt,
              const Tell& tell = {});

  [[nodiscard]] const HouseTree* house() const { return house_; }
  [[nodiscard]] const std::vector<HouseVisit>& all() const { return visits_; }
  // Null when it has mistakes (then they are in it). `today` ages readings; only the first call's counts.
  const HouseVisit* judged(std::size_t at, std::optional<Date> today = std::nullopt);
  // Forgets what `judged` found but the mistakes: a program holds much more than its file does.
  void release(std::size_t at);

 private:
  [[nodiscard]] HouseVisit read(const std::string& path) const;
  [[nodiscard]] std::shared_ptr<const Program> checked(const VisitTree& tree, Diagnostics& out);
  [[nodiscard]] std::unique_ptr<const LastVisit> before(const HouseVisit& visit);

  HouseBook& book_;
  const HouseTree* house_;
  ManyChecks checks_;  // before the visits, which hold its programs
  std::vector<HouseVisit> visits_;
  std::map<std::string, std::vector<const ProfileTree*>> layers_;  // of profiles that were found, by name
  std::map<std::string, std::vector<std::size_t>> by_instrument_;  // their places
};

}  // namespace stringline
