// See visit_stream.h.
#include "engine/book/visit_stream.h"

#include <algorithm>
#include <filesystem>
#include <utility>

#include "engine/check/check.h"

namespace stringline {
// One house, with the profiles that its visits asked for. Each is read by a book of its own: a book tells what is wrong with a file
// once, and here each visit has to hear it.
struct VisitStream::Shelf {
  struct Profile {
    Diagnostics told;
    Diagnostics of_house;
    HouseBook book;
    std::optional<std::vector<const ProfileTree*>> layers;
    ManyChecks checks;
    SourceId asked_by = 0;

    explicit Profile(Shelf& shelf) : book(shelf.shipped, shelf.sources, of_house), checks(shelf.house) {
      if (!shelf.folder.empty()) (void)book.house_in(shelf.folder);
    }
    void look_for(const Word& name) {
      told = {};
      asked_by = name.span.source;
      layers = book.layers(name, told);
    }
    // No file of this name was read: the next name finds this as fresh as this one did.
    [[nodiscard]] bool is_unknown() const {
      return !layers && told.list().size() == 1 && told.list().front().code == Code::unknown_profile &&
             tells_of_its_visit();
    }
    [[nodiscard]] bool tells_of_its_visit() const {
      return std::any_of(told.list().begin(), told.list().end(),
                         [this](const Diagnostic& each) { return each.span.source == asked_by; });
    }
  };

  std::vector<std::string> shipped;
  std::string folder;
  Sources sources;
  Diagnostics of_house;
  HouseBook book;
  const HouseTree* house = nullptr;
  std::map<std::string, std::unique_ptr<Profile>> profiles;
  std::unique_ptr<Profile> fresh;  // for the next name; names that no profile has leave nothing behind

  Shelf(std::vector<std::string> from, std::string in)
      : shipped(std::move(from)), folder(std::move(in)), book(shipped, sources, of_house) {
    if (!folder.empty()) house = book.house_in(folder);
    book.keep_visit_texts();
  }

  // Where there is no such profile, the place of each visit is told.
  Profile& profile_of(const Word& name) {
    const auto known = profiles.find(name.text);
    if (known != profiles.end() && !known->second->tells_of_its_visit()) return *known->second;
    if (!fresh) fresh = std::make_unique<Profile>(*this);
    fresh->look_for(name);
    if (fresh->is_unknown()) return *fresh;
    return *(profiles[name.text] = std::move(fresh));
  }

  // The visit as its profile and the house see it; null where that is wrong.
  std::shared_ptr<const Program> checked(const VisitTree& visit, Diagnostics& out) {
    if (!visit.profile) return nullptr;
    Profile& profile = profile_of(*visit.profile);
    out.report_all(profile.told);
    return profile.layers ? profile.checks.check(*profile.layers, visit, out) : nullptr;
  }

  // As last_visit of open_visit.h.
  std::optional<LastVisit> last_before(const VisitTree& visit) {
    const auto earlier = book.last_visit_before(visit);
    if (earlier == nullptr) return std::nullopt;
    Diagnostics unheard;
    const auto program = checked(*earlier, unheard);
    book.forget(*earlier);
    return program ? std::optional(last_visit_of(*program, judge(*program))) : std::nullopt;
  }
};

VisitStream::VisitStream(std::vector<std::string> shipped, std::string house, std::optional<Date> today)
    : shipped_(std::move(shipped)), house_(std::move(house)), today_(today) {}
VisitStream::~VisitStream() = default;

VisitStream::Shelf& VisitStream::shelf_of(const VisitAsked& asked) {
  std::string folder = house_;
  if (folder.empty()) {
    const std::string beside = std::filesystem::path(asked.path).parent_path().string();
    auto known = folders_.find(beside);
    if (known == folders_.end())
      known = folders_.emplace(beside, HouseBook::folder_above(asked.path).value_or("")).first;
    folder = known->second;
  }
  auto& shelf = shelves_[folder];
  if (!shelf) shelf = std::make_unique<Shelf>(shipped_, folder);
  return *shelf;
}

VisitStream::Found VisitStream::open(const VisitAsked& asked) {
  Shelf& shelf = shelf_of(asked);
  Found found;
  found.sources = &shelf.sources;
  found.told.report_all(shelf.of_house);
  try {
    look(shelf, asked, found);
  } catch (const WorldError&) {
    forget(found);
    throw;
  }
  return found;
}

void VisitStream::look(Shelf& shelf, const VisitAsked& asked, Found& found) const {
  const bool json = asked.path.empty();
  found.text = shelf.sources.add(asked.from, json ? asked.json : shelf.book.read_inside(asked.path));
  found.tree = shelf.book.visit_from(*found.text, json, found.told);
  if (!found.tree) return;
  auto last =
      shelf.last_before(*found.tree);  // first: it is as a rule of the same kind, which one visit at a time can share
  auto program = shelf.checked(*found.tree, found.told);
  if (!program || found.told.has_errors()) return;
  found.open = std::make_unique<OpenVisit>(shelf.house, *found.tree, std::move(program));
  OpenVisit& open = *found.open;
  open.last = std::move(last);
  open.judgement = judge(open.program, {today_, open.last ? &*open.last : nullptr});
}

void VisitStream::forget(const Found& found) {
  for (auto& [folder, shelf] : shelves_) {
    if (&shelf->sources == found.sources && found.text) shelf->sources.forget(*found.text);
  }
}

}  // namespace stringline
