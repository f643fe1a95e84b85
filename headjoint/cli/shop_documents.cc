#include "headjoint/cli/shop_documents.h"

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/learnt_option.h"
#include "headjoint/assess/repair_terms.h"

namespace headjoint::cli {
namespace {

constexpr const char* kLimitsExample =
    R"toml(# Limits of the shop's own. The engine maker's figure comes first, always; say where each of these comes from.
# [flatness]
# limit = "0.05 mm"
# source = "workshop manual, page 12"
)toml";

constexpr const char* kToolsExample =
    R"toml(# The shop's measuring tools. A reading names its tool; the date says when its calibration ends.
# [[tool]]
# name = "straightedge 500 mm"
# resolution = "0.01 mm"
# calibrated_until = "2027-03-31"
)toml";

constexpr const char* kDisplayExample =
    R"toml(# How this shop likes its figures.
# length = "mm"          # mm | inch
# pressure = "bar"       # bar | psi
# torque = "N.m"         # N.m | lbf.ft
# decimal = "point"      # point | comma
# currency = "EUR"
)toml";

Problems check_prices(const std::string& text) { return assess::problems_of_prices({text, "prices"}); }

Problems check_learnt(const std::string& text) {
  assess::Request request;
  request.files["learnt"] = {text, "learnt"};
  return assess::learnt_of(request).problems();
}

}  // namespace

std::vector<server::ShopDocument> shop_documents() {
  return {{"prices", "hours and prices", std::string(assess::shipped_file("shop/prices.toml")), check_prices},
          {"learnt", "strengths learnt from closed jobs", {}, check_learnt},
          {"limits", "limits of our own", kLimitsExample, {}},
          {"tools", "measuring tools", kToolsExample, {}},
          {"display", "units and figures", kDisplayExample, {}}};
}

}  // namespace headjoint::cli
