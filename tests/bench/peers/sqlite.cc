// SQLite: the records as a table in memory, the rules as one SELECT.
#include <sqlite3.h>

#include <stdexcept>

#include "tests/bench/contender.h"

namespace {

sqlite3* data = nullptr;

void check(int status) {
  if (status != SQLITE_OK && status != SQLITE_DONE && status != SQLITE_ROW)
    throw std::runtime_error(sqlite3_errmsg(data));
}

sqlite3_stmt* prepared(const std::string& text) {
  sqlite3_stmt* statement = nullptr;
  check(sqlite3_prepare_v2(data, text.c_str(), -1, &statement, nullptr));
  return statement;
}

void fill(const std::vector<bench::Record>& records, const std::vector<bench::Field>& fields) {
  std::string columns = "style INTEGER";
  std::string places = "?";
  for (const auto& field : fields) {
    columns += ", " + field.flat() + " REAL";
    places += ", ?";
  }
  check(sqlite3_exec(data, ("CREATE TABLE records (" + columns + "); BEGIN").c_str(), nullptr, nullptr, nullptr));
  sqlite3_stmt* insert = prepared("INSERT INTO records VALUES (" + places + ")");
  for (const auto& record : records) {
    check(sqlite3_bind_int64(insert, 1, static_cast<sqlite3_int64>(record.style)));
    for (std::size_t at = 0; at < fields.size(); ++at)
      check(sqlite3_bind_double(insert, static_cast<int>(at + 2), record.values[at]));
    check(sqlite3_step(insert));
    check(sqlite3_reset(insert));
  }
  check(sqlite3_finalize(insert));
  check(sqlite3_exec(data, "COMMIT", nullptr, nullptr, nullptr));
}

}  // namespace

int main(int, char** words) {
  const std::string forms = words[2];
  const auto records = bench::records_of(words[1], forms);
  check(sqlite3_open(":memory:", &data));
  fill(records, bench::fields_of(forms));
  sqlite3_stmt* select = prepared(bench::text_of(forms + "/rules.sql"));
  return bench::serve(records.size(), [&](bench::Verdicts& verdicts) {
    for (auto& one : verdicts) {
      check(sqlite3_step(select));
      one = static_cast<std::uint64_t>(sqlite3_column_int64(select, 0));
    }
    check(sqlite3_reset(select));
  });
}
