#include "engine/book/book.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>
#include <utility>

#include "engine/book/earlier.h"
#include "engine/diag/suggest.h"
#include "engine/syntax/file_kind.h"
#include "engine/syntax/parse_expr.h"
#include "engine/syntax/read_house.h"
#include "engine/syntax/read_json.h"
#include "engine/syntax/read_profile.h"
#include "engine/syntax/read_trials.h"
#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"
#include "engine/text/limits.h"

namespace stringline {
namespace fs = std::filesystem;

namespace {

std::string shown_as(const std::string& path) { return path == "-" ? "<stdin>" : path; }

// What is reported goes elsewhere until this ends.
class Elsewhere {
 public:
  Elsewhere(Diagnostics*& place, Diagnostics& out) : place_(place), usual_(std::exchange(place, &out)) {}
  ~Elsewhere() { place_ = usual_; }
  Elsewhere(const Elsewhere&) = delete;
  Elsewhere& operator=(const Elsewhere&) = delete;

 private:
  Diagnostics*& place_;
  Diagnostics* usual_;
};

std::string where_profiles_are(const std::vector<std::string>& known) {
  return fmt::format("a profile is a file NAME.yaml in the house's profiles/, or one that is shipped{}{}",
                     known.empty() ? "" : "; in reach are ", fmt::join(known, ", "));
}

}  // namespace

HouseBook::HouseBook(std::vector<std::string> shipped, Sources& sources, Diagnostics& out)
    : shipped_(std::move(shipped)), sources_(sources), out_(&out) {}

namespace {

bool is_inside(const fs::path& path, const fs::path& folder) {
  const fs::path rest = path.lexically_relative(folder);
  return !rest.empty() && *rest.begin() != ".." && *rest.begin() != ".";
}

// A link to nothing is there; what has a longer name than files have is not.
bool is_there(const fs::path& path) {
  std::error_code error;
  const auto status = fs::symlink_status(path, error);
  if (status.type() == fs::file_type::none && error != std::errc::filename_too_long)
    throw WorldError(fmt::format("can not read '{}': {}", path.string(), error.message()));
  return fs::exists(status);
}

}  // namespace

// By its name, or by where its folder really lies.
bool HouseBook::is_of_house(const std::string& path) const {
  if (folder_.empty() || path == "-") return false;
  std::error_code error;
  const fs::path named = fs::absolute(path, error).lexically_normal();
  return is_inside(named, named_) ||
         is_inside(fs::weakly_canonical(named.parent_path(), error) / named.filename(), real_);
}

// The file itself, or one of the folders between it and the house, may be a link; the house's own folder may be one too.
bool HouseBook::leads_out(const std::string& path) const {
  if (!is_of_house(path)) return false;
  std::error_code error;
  const fs::path rest = fs::absolute(path, error).lexically_normal().lexically_relative(named_);
  fs::path at = named_;
  const auto is_link = [&](const fs::path& part) { return fs::is_symlink(at /= part, error); };
  if (*rest.begin() != ".." && std::none_of(rest.begin(), rest.end(), is_link)) return false;  // the usual, and cheap
  const fs::path target = fs::canonical(path, error);
  return !error && !is_inside(target, real_);
}

std::string HouseBook::read_inside(const std::string& path) const {
  if (leads_out(path))
    throw WorldError(fmt::format("'{}' is a link that leads out of the house's folder '{}'; put the file itself there",
                                 path, folder_));
  std::error_code error;
  if (fs::is_other(path, error) && is_of_house(path))
    throw WorldError(fmt::format("'{}' is a pipe or a device, and a house book holds files alone", path));
  return read_file(path);
}

std::string HouseBook::text_of(const std::string& path) {
  std::error_code error;
  if (path != "-" && (fs::is_regular_file(path, error) || is_of_house(path))) return read_inside(path);
  const auto found = read_once_.find(path);
  return found != read_once_.end() ? found->second : read_once_.emplace(path, read_file(path)).first->second;
}

std::optional<Node> HouseBook::document(const std::string& path, const std::string& shown) {
  const auto found = shown.empty() ? looked_at_.find(path) : looked_at_.end();
  if (found != looked_at_.end()) {
    LookedAt file = std::move(looked_at_.extract(found).mapped());
    out_->report_all(file.said);
    return std::move(file.node);
  }
  return read_yaml(sources_.add(shown.empty() ? shown_as(path) : shown, text_of(path)), sources_, *out_);
}

std::optional<HouseBook::Kind> HouseBook::kind(const std::string& path) {
  LookedAt& file = looked_at_[path] = {};
  file.node = read_yaml(sources_.add(shown_as(path), text_of(path)), sources_, file.said);
  Diagnostics unheard;
  const auto kind = file.node ? file_kind(*file.node, unheard) : std::nullopt;
  return kind ? std::optional(Kind{*kind, file.node->entries.front().key.span}) : std::nullopt;
}

namespace {

std::optional<VisitTree> visit_in(const std::string& path, const std::optional<Node>& node, Diagnostics& out) {
  const auto kind = node ? file_kind(*node, out) : std::nullopt;
  if (!kind) return std::nullopt;
  if (*kind != FileKind::visit) throw WorldError(fmt::format("'{}' is no visit", shown_as(path)));
  return read_visit(*node, out);
}

}  // namespace

const VisitTree* HouseBook::visit(const std::string& path) { return keep(visit_in(path, document(path), *out_)); }

const VisitTree* HouseBook::visit(const std::string& path, std::string text) {
  return keep(visit_in(path, read_yaml(sources_.add(shown_as(path), std::move(text)), sources_, *out_), *out_));
}

const VisitTree* HouseBook::keep(std::optional<VisitTree> tree) {
  if (!tree) return nullptr;
  visits_.push_back(std::make_unique<VisitTree>(std::move(*tree)));
  return visits_.back().get();
}

std::unique_ptr<const VisitTree> HouseBook::visit_alone(const std::string& path, Diagnostics& out) {
  auto tree = visit_in(path, read_yaml(sources_.add(path, read_inside(path)), sources_, out), out);
  return tree && !tree->spoiled.any ? std::make_unique<const VisitTree>(std::move(*tree)) : nullptr;
}

std::unique_ptr<const VisitTree> HouseBook::visit_from(SourceId source, bool json, Diagnostics& out) {
  const auto node = json ? read_json(source, sources_, out) : read_yaml(source, sources_, out);
  auto tree = visit_in(std::string(sources_.path(source)), node, out);
  return tree ? std::make_unique<const VisitTree>(std::move(*tree)) : nullptr;
}

const ProfileTree* HouseBook::profile_file(const std::string& path, const std::string& shown) {
  std::error_code error;
  const std::string key = fs::weakly_canonical(path, error).string();  // one file, however it was named
  const auto found = profiles_.find(key);
  if (found != profiles_.end()) return found->second.get();
  auto& slot = profiles_[key];
  const auto node = document(path, shown);
  if (!node) return nullptr;
  const auto kind = file_kind(*node, *out_);
  if (!kind || *kind != FileKind::profile) return nullptr;
  if (auto tree = read_profile(*node, *out_)) slot = std::make_unique<ProfileTree>(std::move(*tree));
  return slot.get();
}

namespace {

constexpr const char* trials_ending = ".trials.yaml";

// Not an editor's lock, nor a draft.
bool is_yaml_file(const fs::path& path) {
  return path.extension() == ".yaml" && path.filename().string().front() != '.';
}

bool is_trials_file(const fs::path& path) { return is_yaml_file(path) && path.stem().extension() == ".trials"; }

}  // namespace

bool is_visit_or_profile_file(const fs::path& path) {
  return is_yaml_file(path) && path.stem().extension() != ".trials";
}

const TrialsTree* HouseBook::trials(const std::string& path) {
  const std::string folder = fs::path(path).parent_path().string();
  const bool shipped = std::count(shipped_.begin(), shipped_.end(), folder) > 0;
  const auto node = document(path, shipped ? "shipped:" + fs::path(path).filename().string() : "");
  const auto kind = node ? file_kind(*node, *out_) : std::nullopt;
  if (!kind) return nullptr;
  if (*kind != FileKind::trials) throw WorldError(fmt::format("'{}' holds no trials", shown_as(path)));
  auto tree = read_trials(*node, *out_);
  if (!tree) return nullptr;
  const std::string name = fs::path(path).stem().stem().string();
  const bool own = !folder_.empty() && fs::path(folder) == (fs::path(folder_) / "profiles").lexically_normal();
  if ((own || shipped) && tree->profile.text != name) {
    out_->report(
        Code::file_name_differs, tree->profile.span,
        fmt::format("these are trials of '{}', and the file is called '{}.trials.yaml'", tree->profile.text, name),
        "trials are reached by their profile's name: let both be the same");
  }
  trials_.push_back(std::make_unique<TrialsTree>(std::move(*tree)));
  return trials_.back().get();
}

std::string HouseBook::trials_path(const std::string& name) const {
  std::vector<std::string> folders = shipped_;
  if (!folder_.empty()) folders.insert(folders.begin(), (fs::path(folder_) / "profiles").lexically_normal().string());
  std::error_code error;
  for (const std::string& folder : folders) {
    const fs::path path = fs::path(folder) / (name + trials_ending);
    if (is_identifier(name) && fs::exists(path, error)) return path.string();
  }
  return {};
}

std::optional<std::string> HouseBook::folder_above(const std::string& path) {
  std::error_code error;
  fs::path folder = fs::is_directory(path, error) ? fs::path(path) : fs::path(path).parent_path();
  if (folder.empty()) folder = ".";
  for (int up = 0; up < 32; ++up) {
    if (fs::exists(fs::symlink_status(folder / "house.yaml", error))) return folder.lexically_normal().string();
    const fs::path absolute = fs::absolute(folder, error);
    if (absolute == absolute.root_path()) return std::nullopt;
    folder = folder == "." || folder.filename() == ".." ? folder / ".." : folder.parent_path();
    if (folder.empty()) folder = ".";
  }
  return std::nullopt;
}

void HouseBook::refuse_two_houses(const std::string& path, const std::string& house) {
  std::error_code error;
  if (house.empty() || !fs::exists(path, error)) return;
  const auto above = folder_above(path);
  if (above && fs::equivalent(*above, house, error)) return;
  throw WorldError(fmt::format("'{}' is no part of the house '{}'; name one of them", path, house));
}

const HouseTree* HouseBook::house_above(const std::string& path) {
  const auto folder = folder_above(path);
  return folder ? read_house_of(*folder) : nullptr;
}

void HouseBook::read_house_file(const std::string& path) {
  if (const auto node = document(path)) (void)read_house(*node, *out_);
}

void HouseBook::refuse_no_house(const std::string& folder) {
  std::error_code error;
  if (fs::exists(fs::symlink_status(fs::path(folder) / "house.yaml", error))) return;
  if (!fs::exists(folder, error)) throw WorldError(fmt::format("the folder '{}' of --house is not there", folder));
  throw WorldError(fmt::format("no house.yaml in '{}'; --house takes the folder that holds it", folder));
}

const HouseTree* HouseBook::house_in(const std::string& folder) {
  refuse_no_house(folder);
  return read_house_of(fs::path(folder).lexically_normal().string());
}

const HouseTree* HouseBook::read_house_of(const std::string& folder) {
  if (house_ != nullptr && folder == folder_) return house_.get();
  std::error_code error;
  folder_ = folder;
  named_ = fs::absolute(folder, error).lexically_normal();
  real_ = fs::weakly_canonical(folder, error);
  const auto node = document((fs::path(folder_) / "house.yaml").lexically_normal().string());
  if (!node) return nullptr;
  const auto kind = file_kind(*node, *out_);
  if (!kind || *kind != FileKind::house) return nullptr;
  if (auto tree = read_house(*node, *out_)) house_ = std::make_unique<HouseTree>(std::move(*tree));
  return house_.get();
}

namespace {

// What has a folder's name must be one: a link to nothing would pass for an empty folder.
void refuse_unless_folder(const fs::path& folder) {
  std::error_code error;
  if (is_there(folder) && !fs::is_directory(folder, error))
    throw WorldError(fmt::format("'{}' is no folder", folder.string()));
}

}  // namespace

const ProfileTree* HouseBook::profile_in(const std::string& folder, const std::string& name, bool shipped, Span asked) {
  const std::string path = (fs::path(folder) / (name + ".yaml")).lexically_normal().string();
  if (!is_there(path)) {
    refuse_unless_folder(folder);
    return nullptr;
  }
  const std::size_t before = out_->error_count();
  const ProfileTree* tree = profile_file(path, shipped ? fmt::format("shipped:{}.yaml", name) : path);
  if (tree != nullptr && tree->name.text != name) {
    out_->report(Code::file_name_differs, tree->name.span,
                 fmt::format("this profile is called '{}', its file '{}.yaml'", tree->name.text, name),
                 "a profile is reached by its name: let both be the same");
  }
  // Its mistakes were told to somebody else, or it is another kind of file.
  if ((tree == nullptr || tree->spoiled.any) && before == 0 && !out_->has_errors())
    out_->report(Code::unknown_profile, asked, fmt::format("the profile '{}' can not be used", name));
  return tree;
}

std::optional<std::vector<const ProfileTree*>> HouseBook::layers(const Word& name, Diagnostics& out) {
  const Elsewhere told_elsewhere(out_, out);
  return layers(name);
}

std::optional<std::vector<const ProfileTree*>> HouseBook::layers(const Word& name) {
  std::vector<const ProfileTree*> chain;  // the top first
  std::vector<std::string> path;          // the names so far
  Word at = name;
  while (true) {
    if (std::count(path.begin(), path.end(), at.text) > 0) {
      out_->report(Code::bad_layers, at.span,
                   fmt::format("'{}' is based on itself: {} -> {}", at.text, fmt::join(path, " -> "), at.text),
                   "one of them must stand on its own");
      return std::nullopt;
    }
    if (!is_identifier(at.text) || path.size() >= limits::now().layers) {
      out_->report(
          Code::bad_layers, at.span,
          fmt::format("the chain of based_on is too deep: '{}' would be profile {} of it", at.text, path.size() + 1),
          "let one of them say what several add" + limits::or_allow_more("layers"));
      return std::nullopt;
    }
    path.push_back(at.text);
    const std::size_t before = out_->error_count();
    const ProfileTree* own =
        folder_.empty() ? nullptr : profile_in((fs::path(folder_) / "profiles").string(), at.text, false, at.span);
    const ProfileTree* shipped = nullptr;
    for (const std::string& folder : shipped_) {
      if (shipped == nullptr) shipped = profile_in(folder, at.text, true, at.span);
    }
    const auto is_spoiled = [](const ProfileTree* tree) { return tree != nullptr && tree->spoiled.any; };
    if (out_->error_count() > before && !is_spoiled(own) && !is_spoiled(shipped)) return std::nullopt;
    if (own == nullptr && shipped == nullptr) {
      const auto known = profile_names();  // one of these is there and wrong, as was told when it was read first
      if (std::count(known.begin(), known.end(), at.text) > 0 && out_->has_errors()) return std::nullopt;
      out_->report(Code::unknown_profile, at.span,
                   fmt::format("no profile '{}'{}", at.text, did_you_mean(at.text, known)),
                   nearest(at.text, known) ? "" : where_profiles_are(known));
      return std::nullopt;
    }
    if (own != nullptr) chain.push_back(own);
    if (shipped != nullptr) chain.push_back(shipped);
    const auto& based = own != nullptr && own->based_on ? own->based_on
                        : shipped != nullptr            ? shipped->based_on
                                                        : own->based_on;
    if (!based) break;
    at = *based;
  }
  std::reverse(chain.begin(), chain.end());
  return chain;
}

namespace {

std::vector<std::string> yaml_files(const fs::path& folder,
                                    bool (*wanted)(const fs::path&) = is_visit_or_profile_file) {
  std::vector<std::string> paths;
  std::error_code error;
  refuse_unless_folder(folder);
  for (const auto& entry : fs::directory_iterator(folder, error)) {
    if (wanted(entry.path())) paths.push_back(entry.path().lexically_normal().string());
  }
  if (error && error != std::errc::no_such_file_or_directory)
    throw WorldError(fmt::format("can not read the folder '{}': {}", folder.string(), error.message()));
  std::sort(paths.begin(), paths.end());
  return paths;
}

}  // namespace

std::vector<std::string> HouseBook::own_profile_names() const {
  std::vector<std::string> names;
  if (folder_.empty()) return names;
  for (const std::string& path : yaml_files(fs::path(folder_) / "profiles"))
    names.push_back(fs::path(path).stem().string());
  return names;
}

std::vector<std::string> HouseBook::own_trials_paths() const {
  if (folder_.empty()) return {};
  return yaml_files(fs::path(folder_) / "profiles", is_trials_file);
}

std::vector<std::string> HouseBook::profile_names() const {
  const std::vector<std::string> own = own_profile_names();
  std::set<std::string> names(own.begin(), own.end());
  for (const std::string& folder : shipped_) {
    for (const std::string& path : yaml_files(folder)) names.insert(fs::path(path).stem().string());
  }
  return {names.begin(), names.end()};
}

std::vector<std::string> HouseBook::visit_paths() const {
  if (folder_.empty()) return {};
  auto paths = yaml_files(fs::path(folder_) / "visits");
  if (paths.size() > limits::now().visits)
    throw WorldError(fmt::format("'{}' holds {} visits, and at most {} are read; move closed ones to another folder{}",
                                 folder_, paths.size(), limits::now().visits, limits::or_allow_more("visits")));
  return paths;
}

std::optional<VisitTree> HouseBook::visit_naming(const std::string& path, const std::string& text,
                                                 const std::string& id) {
  if (text.find(id) == std::string::npos) return std::nullopt;
  Diagnostics unheard;
  const SourceId source = sources_.add(path, text);
  const auto node = read_yaml(source, sources_, unheard);
  const auto kind = node ? file_kind(*node, unheard) : std::nullopt;
  auto tree = kind && *kind == FileKind::visit ? read_visit(*node, unheard) : std::nullopt;
  const bool same = tree && !tree->spoiled.any && tree->instrument.id && tree->instrument.id->text == id;
  if (same) return tree;
  sources_.forget(source);
  return std::nullopt;
}

std::unique_ptr<const VisitTree> HouseBook::last_visit_before(const VisitTree& visit) {
  if (!visit.instrument.id) return nullptr;
  std::optional<VisitTree> last;
  const std::string& id = visit.instrument.id->text;
  const fs::path own(sources_.path(visit.source));
  const auto is_own = [&own](const fs::path& path) {  // this visit's file, however it was named
    std::error_code error;
    return path.filename() == own.filename() && fs::equivalent(path, own, error);
  };
  const auto look_at = [&](const std::string& path, const std::string& text) {
    if (is_own(path)) return;
    auto tree = visit_naming(path, text, id);
    if (!tree || !came_before(*tree, visit)) return;
    if (!last || *first_date(*last) <= *first_date(*tree)) last = std::move(tree);
  };
  const auto text = [this](const std::string& path) {
    try {
      return read_inside(path);
    } catch (const WorldError&) {  // told when that visit is looked at, or the whole house
      return std::string();
    }
  };
  if (keeps_texts_ && visit_texts_.empty()) {
    for (const std::string& path : visit_paths()) {
      visit_texts_.emplace_back(path, text(path));
      texts_by_id_.add(visit_texts_.back().second);
    }
  }
  for (const std::size_t at : texts_by_id_.may_name(id)) look_at(visit_texts_[at].first, visit_texts_[at].second);
  if (!keeps_texts_) {
    for (const std::string& path : visit_paths()) look_at(path, text(path));
  }
  return last ? std::make_unique<const VisitTree>(std::move(*last)) : nullptr;
}

}  // namespace stringline
