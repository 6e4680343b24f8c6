// Loaded before a program (LD_PRELOAD), it does what a program that uses the library may do: it takes the locale of its surroundings,
// for C and for C++. The `stringline` program itself never asks for one.
#include <clocale>
#include <locale>

namespace {

[[gnu::constructor]] void take_locale() {
  std::setlocale(LC_ALL, "");
  std::locale::global(std::locale(""));
}

}  // namespace
