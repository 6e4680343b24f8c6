// How often a property is tried: `usual` times; a tenth of that under a sanitizer, which takes ten times as long; STRINGLINE_ROUNDS
// times as often where that is set (`.ci/run --night` does).
#pragma once

namespace stringline::test {

[[nodiscard]] int rounds(int usual);
// Of the usual number, for what has to be seen at least so often.
[[nodiscard]] unsigned at_least(unsigned usual);

}  // namespace stringline::test
