// What the command `check` looks at: a house book, or one file of it.
//
//   a folder        the house, its own profiles and those its visits name (all shipped ones while it has neither), its visits
//   house.yaml      the house against every profile in reach; what is wrong in the profiles themselves is left to them
//   a profile       with the layers below it: what it is based on, and the shipped one of its name where it is a house's
//   a visit         with its profile
// A profile's warnings (review.h) come with folders and profiles, not with visits.
// Tested by tests/golden/check/.
#pragma once

#include <string>
#include <vector>

#include "engine/book/book.h"

namespace stringline {

// `house`: the folder of the house where it was named, else empty: it is found above the path. Reports to `out`, which must be the
// book's own. What can not be read is told in `unread`, and the rest is checked all the same.
void check_path(HouseBook& book, const std::string& path, const std::string& house, Diagnostics& out,
                std::vector<std::string>& unread);

}  // namespace stringline
