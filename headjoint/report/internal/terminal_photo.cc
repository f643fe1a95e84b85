#include "headjoint/report/internal/terminal_photo.h"

#include <cmath>

#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

std::string words(std::string kind) {
  for (char& letter : kind) {
    if (letter == '_') letter = ' ';
  }
  return plain_text(kind);
}

std::string with_band(double value, double band) { return fixed(value, 1) + " +- " + fixed(band, band < 0.095 ? 2 : 1); }

void show_list(TerminalPage& page, const char* heading, const std::vector<std::string>& items) {
  if (items.empty()) return;
  page.heading(heading);
  for (const std::string& item : items) page.paragraph("- " + plain_text(item), 2, 4);
}

std::string map_words(const assess::GasketPhoto& answer) {
  const int decimals = answer.mm_per_px_most < 0.1 ? 4 : 3;
  std::string text = "Picture " + std::to_string(answer.width_px) + " x " + std::to_string(answer.height_px) + " pixels, " +
                     answer.map_kind + ", " + fixed(answer.mm_per_px_least, decimals);
  if (answer.mm_per_px_most > 1.005 * answer.mm_per_px_least) text += " to " + fixed(answer.mm_per_px_most, decimals);
  text += " mm to a pixel.";
  if (!std::isfinite(answer.error)) return text;
  return text + " The known figures miss by " + fixed(answer.error, 2) + " " + answer.error_unit + " (rms); up to " +
         fixed(answer.error_band, 2) + " " + answer.error_unit + " is what tapping alone does.";
}

}  // namespace

void show(TerminalPage& page, const assess::GasketPhoto& answer) {
  page.strong(answer.sentence);
  page.paragraph(map_words(answer));
  show_list(page, "Doubtful", answer.doubts);
  if (!answer.circles.empty()) {
    page.heading("Circles, in mm");
    std::vector<std::vector<std::string>> rows;
    for (const assess::PhotoCircle& circle : answer.circles) {
      const bool is_sized = circle.may_be_used && circle.diameter_mm > 0;
      rows.push_back({words(circle.kind), std::to_string(circle.number), circle.may_be_used ? fixed(circle.at.x_mm, 1) : "-",
                      circle.may_be_used ? fixed(circle.at.y_mm, 1) : "-", circle.may_be_used ? fixed(circle.at_uncertainty_mm, 2) : "-",
                      is_sized ? with_band(circle.diameter_mm, circle.uncertainty_mm) : "-", circle.status});
    }
    page.table({{"kind"}, {"no.", true}, {"x", true}, {"y", true}, {"+-", true}, {"diameter", true}, {"edge"}}, rows);
    page.paragraph("Bands are two standard deviations. x along the crank from the front, y from the left side, seen from above.", 2);
  }
  show_list(page, "To note", answer.notes);
  if (!answer.engine_toml.empty()) {
    page.heading("Lines for the engine file");
    page.raw(answer.engine_toml);
  }
}

void show(TerminalPage& page, const assess::Completeness& answer) {
  page.strong(answer.sentence);
  for (const assess::CalculationNeeds& needs : answer.calculations) {
    page.blank();
    page.strong((needs.can_run ? "[can run]  " : "[lacking]  ") + needs.calculation + ": " + needs.what);
    for (const auto& key : needs.missing)
      page.paragraph("needs " + plain_text(key.key) + (key.example.empty() ? "" : ":   " + plain_text(key.example)), 4, 8);
    std::string more;
    for (const auto& key : needs.better_with) more += (more.empty() ? "" : "; ") + plain_text(key.key);
    if (!more.empty()) page.paragraph("says more with " + more, 4, 8);
  }
}

}  // namespace headjoint::report
