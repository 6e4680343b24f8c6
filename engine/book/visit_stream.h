// Many visits, one after the other, each by itself: what is wrong with one says nothing of the next, and nothing is kept of it but
// what the next may share, its house and its profile. What is told of a visit does not depend on which came before.
// Tested by the golden cases of `lines`.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/book/book.h"
#include "engine/book/open_visit.h"

namespace stringline {

// A visit that is asked for.
struct VisitAsked {
  std::string from;        // what it is called: its path, or "<stdin>, line 3"
  std::string path;        // its file; empty: it is `json`, and its house is the one here
  std::string json;        // a line
  std::string named_in{};  // the line of a list that names `path`, where one does: "<stdin>, line 3"
  std::string wrong{};     // why there is no visit to be looked for; empty: there is
};

class VisitStream {
 public:
  // `house`: its folder; empty: found by walking up from each visit. Without `today` no reading ages.
  VisitStream(std::vector<std::string> shipped, std::string house, std::optional<Date> today);
  ~VisitStream();
  VisitStream(const VisitStream&) = delete;
  VisitStream& operator=(const VisitStream&) = delete;

  struct Found {
    Diagnostics told;                       // of the visit, its house and its profile
    std::unique_ptr<const VisitTree> tree;  // null, like `open`, where something is wrong
    std::unique_ptr<OpenVisit> open;
    const Sources* sources = nullptr;  // of both; until `forget`
    std::optional<SourceId> text;      // the visit's
  };
  // Throws WorldError when a file can not be read. What was found before must be gone.
  [[nodiscard]] Found open(const VisitAsked& asked);
  // Its text, whatever came of it.
  void forget(const Found& found);

 private:
  struct Shelf;
  void look(Shelf& shelf, const VisitAsked& asked, Found& found) const;
  [[nodiscard]] Shelf& shelf_of(const VisitAsked& asked);

  std::vector<std::string> shipped_;
  std::string house_;
  std::optional<Date> today_;
  std::map<std::string, std::string> folders_;             // of houses, by the folder of the visit
  std::map<std::string, std::unique_ptr<Shelf>> shelves_;  // by the house's folder; empty: no house
};

}  // namespace stringline
