// What a tech says at the bench -> one more entry at the end of a visit's log, in the file's own style.
//
//   relief 8 thou                        a reading; several are divided by commas
//   did tighten_rod 1/4 turns            a job, with how far
//   fitted set_10_46   retuned           new strings; a new pitch
//   agreed fret_lcp up_to 210.00         the owner's answer; declined, asked
//   waiting parts until 2026-09-01       what the work waits for
//   strike 3 read the wrong string       a slip in entry 3
//   closed picked up   text looks dry    the end; a note
//
// Nothing is checked here but the words themselves: the whole file is read again with the entry in it.
// Tested by tests/unit/log_entry_test.cc and the golden cases of `note`.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "engine/syntax/tree.h"
#include "engine/value/date.h"

namespace stringline {

// The words make no entry; says why, and what to write.
struct EntryError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// The text of the file with the entry added. `date` is left out where it is the last entry's. Throws EntryError.
[[nodiscard]] std::string with_entry(const std::string& text, const VisitTree& visit,
                                     const std::vector<std::string>& words, Date date);

}  // namespace stringline
