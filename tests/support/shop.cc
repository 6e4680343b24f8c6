#include "tests/support/shop.h"

#include <stdexcept>

#include "engine/syntax/read_house.h"
#include "engine/syntax/read_profile.h"
#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"

using namespace stringline;

namespace {

template <class Tree, class Read>
std::unique_ptr<Tree> read(Shop& shop, const std::string& name, const std::string& text, Read read_tree) {
  const auto node = read_yaml(shop.sources.add(name, text), shop.sources, shop.diagnostics);
  auto tree = node ? read_tree(*node, shop.diagnostics) : std::nullopt;
  return tree ? std::make_unique<Tree>(std::move(*tree)) : nullptr;
}

template <class List>
std::size_t place_of(const List& list, const std::string& name) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    if (list[i].name == name) return i;
  }
  throw std::out_of_range("nothing is called " + name);
}

}  // namespace

PointId Shop::point(const std::string& name) const { return static_cast<PointId>(place_of(program->points, name)); }
JobId Shop::job(const std::string& name) const { return static_cast<JobId>(place_of(program->jobs, name)); }

std::unique_ptr<Shop> open_shop(const std::vector<std::string>& profiles, const std::string& visit,
                                const std::string& house) {
  auto shop = std::make_unique<Shop>();
  if (!house.empty()) shop->house = read<HouseTree>(*shop, "house.yaml", house, read_house);
  std::vector<const ProfileTree*> layers;
  for (const std::string& text : profiles) {
    const std::string name = "profile" + std::to_string(shop->layers.size() + 1) + ".yaml";
    shop->layers.push_back(read<ProfileTree>(*shop, name, text, read_profile));
    layers.push_back(shop->layers.back().get());
  }
  if (!visit.empty()) shop->visit = read<VisitTree>(*shop, "visit.yaml", visit, read_visit);
  if (shop->diagnostics.has_errors()) return shop;
  shop->program = check({shop->house.get(), layers, shop->visit.get()}, shop->diagnostics);
  return shop;
}
