// The house book on disk: house.yaml, profiles/, visits/, and the profiles shipped with the program.
//
// Only what a visit needs is read: the visit, the house above it, and the chain of its profile. A name with anything but
// letters, digits and _ in it is no profile's, so no name reaches outside the folders; nor does a link.
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/book/id_index.h"
#include "engine/book/world.h"
#include "engine/check/check.h"
#include "engine/diag/diagnostic.h"
#include "engine/syntax/file_kind.h"
#include "engine/syntax/node.h"
#include "engine/syntax/tree.h"
#include "engine/text/source.h"

namespace stringline {

// By its name: NAME.yaml, neither trials nor hidden.
[[nodiscard]] bool is_visit_or_profile_file(const std::filesystem::path& path);

class HouseBook {
 public:
  // `shipped`: folders of shipped profiles, the first that has a name wins.
  HouseBook(std::vector<std::string> shipped, Sources& sources, Diagnostics& out);

  // What a file's first key says it is; nothing when it can not be read as YAML, or says nothing known. Reports nothing; what
  // it read serves the next reader of that file, who hears what is wrong with it.
  struct Kind {
    FileKind kind{};
    Span key;
  };
  [[nodiscard]] std::optional<Kind> kind(const std::string& path);
  // Throws WorldError when the file can not be read; nothing when it was read and is wrong (reported).
  [[nodiscard]] const VisitTree* visit(const std::string& path);
  // As if `text` were what the file holds.
  [[nodiscard]] const VisitTree* visit(const std::string& path, std::string text);
  // Like `visit`, with its mistakes told apart from all others, so that one file does not spoil a look at many.
  [[nodiscard]] std::unique_ptr<const VisitTree> visit_alone(const std::string& path, Diagnostics& out);
  // A visit whose text is a source already; `json`: a line of JSON. The caller, whose the tree is, may have the text forgotten.
  [[nodiscard]] std::unique_ptr<const VisitTree> visit_from(SourceId source, bool json, Diagnostics& out);
  // Messages call it `shown`, where that is given; shipped ones are called shipped:NAME.yaml wherever they are
  // installed, standard input <stdin>.
  [[nodiscard]] const ProfileTree* profile_file(const std::string& path, const std::string& shown = "");
  // A trials file, told like a profile's. Null when it is wrong (reported). Throws WorldError when it is another kind of file.
  [[nodiscard]] const TrialsTree* trials(const std::string& path);
  // NAME.trials.yaml of the house, else of the shipped profiles; empty when neither has one.
  [[nodiscard]] std::string trials_path(const std::string& name) const;
  // Those of the house, by name.
  [[nodiscard]] std::vector<std::string> own_trials_paths() const;
  // Where the house above `path` lies; nothing where there is none.
  [[nodiscard]] static std::optional<std::string> folder_above(const std::string& path);
  // Throws WorldError where `path` lies in another house than the one that is named besides, or in none. An empty name is none.
  static void refuse_two_houses(const std::string& path, const std::string& house);
  // The house in `folder` or above it; null when there is none, or it is wrong (reported). The same house is read once.
  [[nodiscard]] const HouseTree* house_above(const std::string& path);
  // A house file under another name than house.yaml: what is wrong with it alone is reported.
  void read_house_file(const std::string& path);
  // Throws WorldError where the folder is not there, or holds no house.yaml.
  static void refuse_no_house(const std::string& folder);
  // The house in this folder and nowhere else. Throws WorldError when it holds none.
  [[nodiscard]] const HouseTree* house_in(const std::string& folder);
  // The layers of a profile, the root first: each shipped one below the house's of the same name.
  [[nodiscard]] std::optional<std::vector<const ProfileTree*>> layers(const Word& name);
  // What is wrong in a profile is told once, into the `out` of its first reader; a later one hears that it can not be used.
  [[nodiscard]] std::optional<std::vector<const ProfileTree*>> layers(const Word& name, Diagnostics& out);
  // Every profile name that the house or the program knows.
  [[nodiscard]] std::vector<std::string> profile_names() const;
  // Those with a file of the house's own. A shipped family that a shop never sees may need phases that it does not have.
  [[nodiscard]] std::vector<std::string> own_profile_names() const;
  [[nodiscard]] std::vector<std::string> visit_paths() const;
  // The last visit in the book that the same instrument (by its `id`) made before this one; null when there is none. Visits
  // that can not be read are passed over.
  [[nodiscard]] std::unique_ptr<const VisitTree> last_visit_before(const VisitTree& visit);
  // Its text is needed no more.
  void forget(const VisitTree& visit) { sources_.forget(visit.source); }
  // From now on the texts of the house's visits are read once for all that ask for one before them.
  void keep_visit_texts() { keeps_texts_ = true; }
  // What a file holds. Throws WorldError when it can not be read, is a link that leads out of the house's folder, or in it a pipe.
  [[nodiscard]] std::string read_inside(const std::string& path) const;

 private:
  struct LookedAt {
    std::optional<Node> node;
    Diagnostics said;
  };

  // What a file holds; standard input and pipes can be read only once, and are asked for what they are before they are read.
  [[nodiscard]] std::string text_of(const std::string& path);
  // Whether a file is one of this house, however it was named.
  [[nodiscard]] bool is_of_house(const std::string& path) const;
  // Whether a file of this house is a link to one outside its folder.
  [[nodiscard]] bool leads_out(const std::string& path) const;
  [[nodiscard]] const HouseTree* read_house_of(const std::string& folder);
  [[nodiscard]] std::optional<Node> document(const std::string& path, const std::string& shown = "");
  [[nodiscard]] const VisitTree* keep(std::optional<VisitTree> tree);
  // A visit whose text names `id`, read without a word about its mistakes.
  [[nodiscard]] std::optional<VisitTree> visit_naming(const std::string& path, const std::string& text,
                                                      const std::string& id);
  [[nodiscard]] const ProfileTree* profile_in(const std::string& folder, const std::string& name, bool shipped,
                                              Span asked);

  std::vector<std::string> shipped_;
  Sources& sources_;
  Diagnostics* out_;
  std::string folder_;           // of the house, as it was named
  std::filesystem::path named_;  // the same from the root
  std::filesystem::path real_;   // and without links
  bool keeps_texts_ = false;
  std::vector<std::pair<std::string, std::string>> visit_texts_;  // by path, in its order; once they are kept
  IdIndex texts_by_id_;                                           // of these
  std::map<std::string, std::string> read_once_;                  // standard input and pipes
  std::map<std::string, LookedAt> looked_at_;  // by path: asked for their kind, not yet read for more
  std::unique_ptr<HouseTree> house_;
  std::map<std::string, std::unique_ptr<ProfileTree>> profiles_;  // by whole path; null: wrong
  std::vector<std::unique_ptr<VisitTree>> visits_;
  std::vector<std::unique_ptr<TrialsTree>> trials_;
};

}  // namespace stringline
