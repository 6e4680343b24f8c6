// Lua 5.4: the rules as one function, the records as its tables.
#include <lua.hpp>
#include <stdexcept>

#include "tests/bench/contender.h"

namespace {

// Leaves a list of the records' tables on the stack.
void push_records(lua_State* lua, const std::vector<bench::Record>& records, const std::vector<bench::Field>& fields) {
  lua_createtable(lua, static_cast<int>(records.size()), 0);
  for (std::size_t at = 0; at < records.size(); ++at) {
    lua_newtable(lua);
    lua_pushstring(lua, bench::styles()[records[at].style].c_str());
    lua_setfield(lua, -2, "style");
    for (std::size_t field = 0; field < fields.size(); ++field) {
      const char* name = fields[field].name.c_str();
      if (fields[field].member == "1") {
        lua_createtable(lua, 6, 0);
        lua_setfield(lua, -2, name);
      }
      if (!fields[field].member.empty()) lua_getfield(lua, -1, name);
      lua_pushnumber(lua, records[at].values[field]);
      if (fields[field].member.empty()) {
        lua_setfield(lua, -2, name);
      } else {
        lua_rawseti(lua, -2, std::stoi(fields[field].member));
        lua_pop(lua, 1);
      }
    }
    lua_rawseti(lua, -2, static_cast<lua_Integer>(at + 1));
  }
}

constexpr const char* loop =
    "local kept_rules, records, out = ...\n"
    "for at = 1, #records do out[at] = kept_rules(records[at]) end\n";

void check(lua_State* lua, int status) {
  if (status != LUA_OK) throw std::runtime_error(lua_tostring(lua, -1));
}

}  // namespace

int main(int, char** words) {
  const std::string forms = words[2];
  const auto records = bench::records_of(words[1], forms);
  lua_State* lua = luaL_newstate();
  luaL_openlibs(lua);
  check(lua, luaL_dofile(lua, (forms + "/rules.lua").c_str()));  // 1: the function
  push_records(lua, records, bench::fields_of(forms));           // 2
  lua_createtable(lua, static_cast<int>(records.size()), 0);     // 3: what it gives
  check(lua, luaL_loadstring(lua, loop));                        // 4
  return bench::serve(records.size(), [&](bench::Verdicts& verdicts) {
    for (const int at : {4, 1, 2, 3}) lua_pushvalue(lua, at);
    check(lua, lua_pcall(lua, 3, 0, 0));
    for (std::size_t at = 0; at < verdicts.size(); ++at) {
      lua_rawgeti(lua, 3, static_cast<lua_Integer>(at + 1));
      verdicts[at] = static_cast<std::uint64_t>(lua_tointeger(lua, -1));
      lua_pop(lua, 1);
    }
  });
}
