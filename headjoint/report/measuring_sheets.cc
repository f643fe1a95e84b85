#include "headjoint/report/measuring_sheets.h"

#include <algorithm>

#include "headjoint/assess/knowledge.h"
#include "headjoint/joint/places.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"
#include "headjoint/report/internal/repair_words.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

const char* const kBlank = "______";
const char* const kBox = "\u25a1";

std::string sheet(const std::string& title, const std::string& body, bool is_first = false) {
  const std::string top = is_first ? "<h1>Measuring sheets</h1>\n" : "";
  return std::string("<div class=\"") + (is_first ? "" : "page") + "\">" + top + section(title) + body + "</div>\n";
}

std::string cautions(const std::vector<std::string>& ids) {
  std::string out;
  for (const assess::Caution& caution : assess::cautions_of(ids)) out += caution_box(caution);
  return out;
}

bool is_liquid(const assess::Assessment& all) { return all.job.engine.general.cooling == joint::CooledBy::kLiquid; }

std::string by_cylinder(const assess::Assessment& all) {
  HtmlTable table(
      "Each cylinder. Air: coolant / neighbour / oil filler / intake / exhaust. Blank: not taken",
      {{"cylinder", false, true}, {"compression"}, {"with oil"}, {"leak-down"}, {"air comes out at"}, {"plug or injector looks"}});
  for (int cylinder = 1; cylinder <= all.job.engine.general.cylinders; ++cylinder)
    table.row({std::to_string(cylinder), kBlank, kBlank, kBlank, "C\u2003N\u2003O\u2003I\u2003E", "____________"});
  return table.html();
}

std::string facts(const std::vector<std::vector<std::string>>& rows, const std::string& caption) {
  HtmlTable table(caption, {{""}, {""}});
  for (const auto& row : rows) table.row(row);
  return table.html();
}

std::string tests_sheet(const assess::Assessment& all) {
  std::string body = cautions({"cranking", "air_turns_crank"});
  body += facts(
      {{"Gauge / tester / its smallest step", "____________ / ____________ / ______"},
       {"Engine cold, warm or hot; plugs all out; throttle open", "cold\u2003warm\u2003hot\u2003" + std::string(kBox) + "\u2003" + kBox},
       {"Strokes; cranking speed; supply and orifice of the tester", "____\u2003______ rpm\u2003______\u2003______"}},
      "How it was taken");
  body += by_cylinder(all);
  if (is_liquid(all)) {
    body += cautions({"hot_coolant", "over_pressure"});
    body += facts({{"Cap: marked / opens at", "______ / ______ bar"},
                   {"Pumped up cold: start / end / minutes", "______ / ______ bar / ______ min"},
                   {"Idling from cold: start / end / minutes", "______ / ______ bar / ______ min"},
                   {"Left after a night", "______ bar"},
                   {"Colour test / carbon dioxide over the coolant", "none\u2003partial\u2003full / ______ %"},
                   {"Coolant: strength / what came out of what the book says", "______ / ______ of ______ L"}},
                  "Cooling system");
    body += facts({{"Bubbles, engine running", "seen\u2003absent\u2003not looked"},
                   {"Top hose hard within minutes", "seen\u2003absent\u2003not looked"},
                   {"Milky oil on the dipstick / cream under the cap", "seen\u2003absent\u2003/\u2003seen\u2003absent"},
                   {"White cloud that stays when hot", "seen\u2003absent\u2003not looked"},
                   {"Weeping at the joint; where", "seen\u2003absent\u2003____________"}},
                  "Seen or absent: ring it");
  }
  return sheet("Tests", body, true);
}

std::string kind_words() {
  std::string text;
  for (const std::string& word : jobs::seen_kinds()) text += (text.empty() ? "" : ", ") + spoken(word);
  return text;
}

std::string bolts_table(const joint::Engine& engine) {
  const std::size_t bolts = engine.bolts ? engine.bolts->at.size() * static_cast<std::size_t>(joint::head_count(engine)) : 10;
  HtmlTable table(
      "Head bolts: numbers as on the plan" + std::string(engine.bolts ? "" : " you draw"),
      {{"bolt", false, true}, {"lets go at N m"}, {"length mm"}, {"waist"}, {"bolt"}, {"lets go at N m"}, {"length mm"}, {"waist"}});
  for (std::size_t i = 0; 2 * i < bolts; ++i) {
    const std::size_t second = i + (bolts + 1) / 2;
    const bool has_second = second < bolts;
    table.row({std::to_string(i + 1), kBlank, kBlank, kBox, has_second ? std::to_string(second + 1) : "", has_second ? kBlank : "",
               has_second ? kBlank : "", has_second ? kBox : ""});
  }
  return table.html();
}

std::string strip_down_sheet(const assess::Assessment& all) {
  std::string body = cautions({"head_lift", "stretched_bolts", "asbestos"});
  body += "<figure>" + joint_plan_svg(all.job.engine, plan_options_for_paper("strip")) +
          "<figcaption>Mark with a number where something was seen; draw the breach. Photograph first, wipe "
          "afterwards.</figcaption></figure>\n";
  HtmlTable table("What: " + kind_words(),
                  {{"no.", false, true}, {"part: gasket, head, block, bolt, liner, piston"}, {"what"}, {"photograph"}});
  constexpr int kRows = 5;
  for (int i = 1; i <= kRows; ++i) table.row({std::to_string(i), "", "", ""});
  body += table.html();
  body += paragraph("Gasket: the right side up\u2003yes\u2003no\u2003New bolt, length ______ mm\u2003Maker's longest ______ mm");
  return sheet("Strip-down", body + bolts_table(all.job.engine));
}

/// Five stations along and three across, inset from the edge; without an outline blanks to write in.
std::string points_table(const joint::Engine& engine) {
  constexpr double kInset_mm = 10;
  constexpr int kAlong = 5, kAcross = 3;
  HtmlTable table(
      "Heights in mm, zero anywhere; any other points do as well",
      {{"along x, mm", false, true}, {"left side y, mm"}, {"height"}, {"middle y, mm"}, {"height"}, {"right side y, mm"}, {"height"}});
  const auto& outline = engine.head ? engine.head->outline : std::vector<joint::PlanPoint>{};
  const auto [low_x, high_x] = std::minmax_element(outline.begin(), outline.end(), [](auto a, auto b) { return a.x_mm < b.x_mm; });
  const auto [low_y, high_y] = std::minmax_element(outline.begin(), outline.end(), [](auto a, auto b) { return a.y_mm < b.y_mm; });
  const auto station = [](double low, double high, int i, int of) {
    return fixed(low + kInset_mm + (high - low - 2 * kInset_mm) * i / (of - 1), 0);
  };
  for (int i = 0; i < kAlong; ++i) {
    std::vector<std::string> row = {outline.empty() ? kBlank : station(low_x->x_mm, high_x->x_mm, i, kAlong)};
    for (int k = 0; k < kAcross; ++k) {
      row.push_back(outline.empty() ? kBlank : station(low_y->y_mm, high_y->y_mm, k, kAcross));
      row.emplace_back(kBlank);
    }
    table.row(row);
  }
  return table.html();
}

std::string faces_sheet(const assess::Assessment& all) {
  const joint::Engine& engine = all.job.engine;
  const auto typed = [](const auto& figure) { return figure ? plain_text(figure->text) : std::string(kBlank); };
  std::string body = facts(
      {{"Head or block; which head", "head\u2003block\u2003____"},
       {"Tool / its uncertainty / temperature of the part", "____________ / ______ mm / ______ degC"},
       {"Limit of the head / of the block", typed(engine.head ? engine.head->flatness_limit : joint::OptionalFigure<Length>{}) + " / " +
                                                typed(engine.block ? engine.block->flatness_limit : joint::OptionalFigure<Length>{})},
       {"Height of the head, front and back / least",
        "______ / ______ mm / " + typed(engine.head ? engine.head->least_height : joint::OptionalFigure<Length>{})}},
      "Clean, dry, unclamped");
  body += "<figure>" + joint_plan_svg(engine, plan_options_for_paper("faces")) + "</figure>\n" + points_table(engine);
  HtmlTable lines("Straightedge and feelers: thickest blade that goes under, thinnest that does not, and where from the front end",
                  {{"line", false, true}, {"goes"}, {"does not"}, {"from mm"}, {"to mm"}, {"gap at the ends"}});
  for (const char* line : {"left edge, along", "middle, along", "right edge, along", "front end, across", "middle, across",
                           "rear end, across", "diagonal, front left", "diagonal, front right"})
    lines.row({line, kBlank, kBlank, kBlank, kBlank, kBlank});
  body += lines.html();
  const auto& fitted = engine.general.fitted;
  if (std::find(fitted.begin(), fitted.end(), "wet_liners") != fitted.end()) {
    HtmlTable liners("Liner protrusion, mm, clamped as the maker says",
                     {{"cylinder", false, true}, {"front"}, {"left"}, {"back"}, {"right"}});
    for (int cylinder = 1; cylinder <= engine.general.cylinders; ++cylinder)
      liners.row({std::to_string(cylinder), kBlank, kBlank, kBlank, kBlank});
    body += liners.html();
  }
  return sheet("Faces", body);
}

std::string proof_sheet(const assess::Assessment& all) {
  std::string body =
      cautions(is_liquid(all) ? std::vector<std::string>{"hot_coolant", "exhaust_gas"} : std::vector<std::string>{"exhaust_gas"});
  if (!all.proof) return sheet("After the repair", body + by_cylinder(all) + write_in_lines(3));
  HtmlTable table("Readings after the repair. Outside the limits: do not hand it over",
                  {{"reading"}, {"expected", true}, {"accepted", true}, {"read", false, true}});
  for (const assess::ProofCheck& check : all.proof->checks) {
    if (check.test == "compression_evenness") continue;
    table.row({capitalised(check.check), check.expected_text, check.unit.empty() ? "" : accepted_text(check),
               check.unit.empty() ? "seen\u2003absent" : std::string(kBlank) + " " + check.unit});
  }
  body += table.html() + paragraph("Taken on ________ by ________\u2003engine cold\u2003warm\u2003hot");
  return sheet("After the repair", body);
}

}  // namespace

std::string measuring_sheets_html(const assess::Assessment& all, const PaperStamp& stamp) {
  const std::string body = tests_sheet(all) + strip_down_sheet(all) + faces_sheet(all) + proof_sheet(all);
  return paper_document("Measuring sheets", "shop sheets", all, stamp, body,
                        "<footer><p class=\"muted\">What is left blank counts as not taken, never as zero or absent. The engine maker's "
                        "procedure comes before anything on these sheets.</p></footer>\n");
}

}  // namespace headjoint::report
