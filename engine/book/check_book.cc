// See check_book.h.
#include "engine/book/check_book.h"

#include <fmt/format.h>

#include <algorithm>
#include <deque>
#include <filesystem>
#include <map>
#include <set>

#include "engine/book/trial.h"
#include "engine/check/house.h"
#include "engine/check/review.h"

namespace stringline {
namespace fs = std::filesystem;
namespace {

const char* where_it_belongs(FileKind kind) {
  if (kind == FileKind::house) return "a house's file is called house.yaml and stands beside the folder visits/";
  if (kind == FileKind::trials) return "move it to profiles/, as NAME.trials.yaml";
  return "move it to profiles/, or begin it with visit: ID";
}

class Check {
 public:
  Check(HouseBook& book, Diagnostics& out, std::vector<std::string>& unread)
      : book_(book), out_(out), unread_(unread) {}

  void path(const std::string& path, const std::string& house) {
    const bool whole_house = fs::is_directory(path) || fs::path(path).filename() == "house.yaml";
    if (whole_house) HouseBook::refuse_two_houses(path, house);
    house_ = house.empty() ? book_.house_above(path) : book_.house_in(house);
    if (fs::is_directory(path)) return folder(path);
    if (fs::path(path).filename() == "house.yaml") return house_alone();
    const auto kind = book_.kind(path);
    if (kind && kind->kind == FileKind::visit) return visit(book_.visit(path));
    if (kind && kind->kind == FileKind::profile) return profile(path);
    if (kind && kind->kind == FileKind::house) return book_.read_house_file(path);
    if (kind) return trials(path);
    (void)book_.profile_file(path);  // says what is wrong with it
  }

 private:
  void folder(const std::string& path) {
    if (house_ == nullptr && !out_.has_errors())
      throw WorldError(fmt::format("no house.yaml in '{}' or above; name the folder that holds it", path));
    const std::vector<const VisitTree*> visits = all_visits();
    std::set<std::string> used;
    for (const std::string& name : book_.own_profile_names()) used.insert(name);
    for (const VisitTree* tree : visits)
      if (tree->profile) used.insert(tree->profile->text);
    for (const std::string& name : book_.profile_names())
      readable([&] { add(name, used.empty() || used.count(name) > 0, true); });
    for (const VisitTree* tree : visits) readable([&] { visit(tree); });
    for (const std::string& file : book_.own_trials_paths()) readable([&] { trials(file); });
    review(profiles_, house_ != nullptr, out_);
    if (house_ != nullptr) check_house(*house_, profiles_, all_read_, out_);
  }

  void house_alone() {
    if (house_ == nullptr) return;
    const auto own = book_.own_profile_names();
    for (const std::string& name : book_.profile_names())
      readable([&] { add(name, own.empty() || std::count(own.begin(), own.end(), name) > 0, false); });
    check_house(*house_, profiles_, all_read_, out_);
  }

  // One profile by its name; the mistakes of one that is not in use are never told.
  void add(const std::string& name, bool used, bool told) {
    auto layers = book_.layers({name, {}});
    if (!layers) {
      all_read_ = false;
      return;
    }
    Diagnostics unheard;
    auto program = check({house_, *layers, nullptr}, used && told ? out_ : unheard);
    if (used && told) review_layers(*layers, out_);
    add(name, std::move(*layers), std::move(program), used);
  }

  void add(const std::string& name, std::vector<const ProfileTree*> layers, std::optional<Program> program, bool used) {
    if (program) programs_.push_back(std::move(*program));
    const auto named = book_.own_profile_names();
    const bool own = std::count(named.begin(), named.end(), name) > 0;
    profiles_.push_back({name, std::move(layers), program ? &programs_.back() : nullptr, own, used});
  }

  // A file of the house's own profiles lies over the shipped one of its name; any other stands by itself.
  void profile(const std::string& path) {
    const std::string name = fs::path(path).stem().string();
    const auto own = book_.own_profile_names();
    const fs::path folder = fs::absolute(path).lexically_normal().parent_path();
    const bool in_house =
        folder.filename() == "profiles" && house_ != nullptr && std::count(own.begin(), own.end(), name) > 0;
    if (in_house) {
      add(name, true, true);
    } else if (const ProfileTree* tree = book_.profile_file(path)) {
      std::vector<const ProfileTree*> layers{tree};
      if (tree->based_on && tree->based_on->text == tree->name.text) {
        const std::string& own_name = tree->name.text;
        out_.report(Code::bad_layers, tree->based_on->span,
                    fmt::format("'{0}' is based on itself: {0} -> {0}", own_name),
                    "take based_on: out, or name another profile");
        return;
      }
      if (tree->based_on) {
        const auto below = book_.layers(*tree->based_on);
        if (!below) return;
        layers.insert(layers.begin(), below->begin(), below->end());
      }
      auto program = check({house_, layers, nullptr}, out_);
      add(tree->name.text, std::move(layers), std::move(program), true);
    }
    add_relatives();
    review(profiles_, house_ != nullptr, out_);
  }

  // The profiles in reach that share a layer with the one that is checked: what they call and use counts for it. Nobody is based on
  // a file that has no name in reach.
  void add_relatives() {
    const HouseProfile own = profiles_.empty() ? HouseProfile() : profiles_.front();
    const std::vector<std::string> names = book_.profile_names();
    if (own.layers.size() == 1 && std::count(names.begin(), names.end(), own.name) == 0) return;
    for (const std::string& name : names) {
      if (name == own.name) continue;
      const auto layers = book_.layers({name, {}});
      if (layers &&
          std::find_first_of(layers->begin(), layers->end(), own.layers.begin(), own.layers.end()) != layers->end())
        add(name, false, false);
    }
  }

  // What can not be read is no reason to be silent about the rest.
  template <typename Look>
  void readable(Look look) {
    try {
      look();
    } catch (const WorldError& error) {
      all_read_ = false;
      if (std::count(unread_.begin(), unread_.end(), error.what()) == 0) unread_.emplace_back(error.what());
    }
  }

  const VisitTree* visit_of_house(const std::string& path) {
    const auto kind = book_.kind(path);
    if (!kind || kind->kind == FileKind::visit) return book_.visit(path);
    out_.report(Code::wrong_folder, kind->key, "this is no visit, and the folder visits/ holds visits alone",
                where_it_belongs(kind->kind));
    return nullptr;
  }

  std::vector<const VisitTree*> all_visits() {
    std::vector<const VisitTree*> visits;
    std::map<std::string, const VisitTree*> by_id;
    for (const std::string& path : book_.visit_paths()) {
      const VisitTree* tree = nullptr;
      readable([&] { tree = visit_of_house(path); });
      if (tree == nullptr) continue;
      visits.push_back(tree);
      const auto [first, fresh] = by_id.emplace(tree->id.text, tree);
      if (fresh) continue;
      out_.report(Code::same_visit, tree->id.span, fmt::format("another visit is called '{}' too", tree->id.text),
                  "every visit has an id of its own; the instrument keeps its id: from visit to visit",
                  {{first->second->id.span, "the other visit"}});
    }
    return visits;
  }

  void visit(const VisitTree* tree) {
    if (tree == nullptr || !tree->profile) return;
    const auto layers = book_.layers(*tree->profile);
    if (layers) (void)check({house_, *layers, tree}, out_);
  }

  void trials(const std::string& path) {
    const TrialsTree* tree = book_.trials(path);
    const auto layers = tree == nullptr ? std::nullopt : book_.layers(tree->profile);
    if (layers) (void)bind_trials(*tree, {house_, *layers}, out_);
  }

  HouseBook& book_;
  Diagnostics& out_;
  std::vector<std::string>& unread_;
  const HouseTree* house_ = nullptr;
  std::deque<Program> programs_;
  std::vector<HouseProfile> profiles_;
  bool all_read_ = true;
};

}  // namespace

void check_path(HouseBook& book, const std::string& path, const std::string& house, Diagnostics& out,
                std::vector<std::string>& unread) {
  try {
    Check(book, out, unread).path(path, house);
  } catch (const WorldError& error) {
    unread.emplace_back(error.what());
  }
}

}  // namespace stringline
