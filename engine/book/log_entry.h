// What a tech says at the bench -> one more entry at the end of a visit's log, in the file's own style.
//
//   relief 8 thou                        a reading; several are divided by commas; [8 thou, 9 thou]: the same one twice
//   did tighten_rod 1/4 turns            a job, with how far; its label does as well, and its name is written
//   fitted set_10_46   retuned           new strings; a new pitch
//   agreed fret_lcp up_to 210.00         the owner's answer; declined, asked
//   waiting parts until 2026-09-01       what the work waits for
//   strike 3 read the wrong string       a slip in entry 3
//   closed picked up   text looks dry    the end; a note
//
// Besides the names of jobs and readings nothing but the words themselves is looked at here: the whole file is read and checked again with the entry in it. Every
// other byte stays as it was: comments, line ends, and a missing one at the end. A log in [ ] is refused.
// Tested by tests/unit/log_entry_test.cc and the golden cases of `note`.
#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <vector>

#include "engine/book/entry_words.h"
#include "engine/syntax/tree.h"
#include "engine/value/date.h"

namespace stringline {

// The words make no entry, or the file has no place for one; says why, and what to write.
struct EntryError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

struct NewEntry {
  std::string text;       // of the whole file
  std::size_t begin = 0;  // where the entry stands in it
  std::size_t end = 0;
};

// `text` with a `log:` that holds nothing (which YAML does not allow here) made a comment of the same length.
[[nodiscard]] std::string without_empty_log(std::string text);

// `visit` was read from without_empty_log(text). `date` is left out where it is the last entry's. Throws EntryError.
[[nodiscard]] NewEntry with_entry(const std::string& text, const VisitTree& visit,
                                  const std::vector<std::string>& words, Date date, const KnownWords& known = {});

}  // namespace stringline
