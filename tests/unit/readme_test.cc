// What the README shows is what the files and the golden cases hold, so that a newcomer sees what the program really prints.
#include <catch2/catch.hpp>

#include <filesystem>
#include <string>

#include "tests/support/manual.h"
#include "tests/support/run_program.h"

using namespace stringline;
using stringline::test::Manual;
using stringline::test::Quote;

TEST_CASE("every quote of the README stands word for word in the file it names") {
  const Manual readme(read_file(std::filesystem::path("README.md")));
  const auto quotes = readme.quotes();
  CHECK(quotes.size() >= 7);
  for (const Quote& quote : quotes) {
    INFO("README.md:" << quote.line << " quotes " << quote.file << "\n" << quote.text);
    CHECK_FALSE(quote.text.empty());
    const std::string file = "\n" + read_file(std::filesystem::path(quote.file));
    CHECK(file.find("\n" + quote.text) != std::string::npos);
  }
}

TEST_CASE("no block of the README stands without the file it comes from, but for what is typed") {
  const std::string text = read_file(std::filesystem::path("README.md"));
  std::size_t fences = 0;
  for (std::size_t at = text.find("\n```"); at != std::string::npos; at = text.find("\n```", at + 1)) ++fences;
  CHECK(fences == 2 * Manual(text).quotes().size());
}
