// A house book written anew with its keys in another order, to see that nothing hangs on it.
#pragma once

#include <filesystem>
#include <map>
#include <random>
#include <string>

namespace stringline::testing {

// Every .yaml file below `from`, its keys in a random order, at the same place below `to`.
void shuffle_folder(const std::filesystem::path& from, const std::filesystem::path& to, std::mt19937& random);

// Gives the visits of the book in `root` each other's file names. What they are called now -> what they were called.
std::map<std::string, std::string> rename_visits(const std::filesystem::path& root, std::mt19937& random);

// Places in files move with the keys; everything else must not.
[[nodiscard]] std::string without_places(std::string text, const std::filesystem::path& root);

[[nodiscard]] std::string first_difference(const std::string& a, const std::string& b);

}  // namespace stringline::testing
