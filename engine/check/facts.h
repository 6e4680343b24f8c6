// Facts as the instrument and its player state them, laid over the profile's; and whether every layer that states a fact means
// the same kind of value: `radius: 12` over `radius: 12 in` is a slip, told where it was made and not where it is used.
// Tested by tests/golden/check/fact_of_other_kind.case, unknown_fact.case, fact_nearly_named.case.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "engine/check/layer.h"
#include "engine/diag/diagnostic.h"

namespace stringline {

// Replaces facts of the profile; can not invent new ones (reported).
void state_facts(const std::vector<FactTree>& facts, LayeredProfile& profile, Diagnostics& out);

// No fact and no reading is called by a name that expressions or tables read as something else: fret, total, ..
void check_free_names(const LayeredProfile& profile, Diagnostics& out);

// A fact of another kind than the layer below states it is reported, and the one below stays.
void check_fact_kinds(LayeredProfile& profile, Diagnostics& out);

// Facts that mean something to the program; the manual's table lists them (tests/unit/reference_test.cc).
[[nodiscard]] const std::vector<std::string>& facts_with_meaning();

// A fact that nothing uses and whose name is nearly that of one that means something: probably a slip. Returns the others that
// nothing uses here; choices are left out, for they may be there for a style to come.
[[nodiscard]] std::set<std::string> check_fact_names(const LayeredProfile& profile, const std::set<std::string>& used,
                                                     Diagnostics& out);

}  // namespace stringline
