#include <algorithm>

#include "headjoint/assess/gasket_photo.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_photo.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_gasket_photo(const Request& request) {
  const auto taps = read_gasket_taps(request.input);
  Problems problems = taps.problems();
  const auto file = request.files.find("picture");
  if (file == request.files.end()) {
    problems.push_back({{{}, 0, 0, "--picture"}, "the picture is missing", "a photograph or scan as JPEG or PNG", {}});
    return problems;
  }
  const auto picture = photo::read_photo(file->second.text, file->second.source.empty() ? "picture" : file->second.source);
  if (!picture) problems.insert(problems.end(), picture.problems().begin(), picture.problems().end());
  if (has_errors(problems)) return problems;
  auto answer = measure_gasket(*picture, *taps);
  if (!answer) {
    problems = answer.problems();
    for (Problem& problem : problems) problem.place.source = request.source;
    return problems;
  }
  Reply reply;
  reply.document = assess::answer();
  merge_members(reply.document, to_document(*answer));
  reply.answer_is_no = std::any_of(answer->circles.begin(), answer->circles.end(), [](const PhotoCircle& c) { return !c.may_be_used; });
  reply.warnings = taps.problems();
  reply.content = std::move(*answer);
  return reply;
}

}  // namespace

Operation gasket_photo_operation() {
  return {
      .name = "gasket-photo",
      .summary = "the plan of a gasket from its photograph or scan: holes snapped to their edges, as lines for an engine file",
      .argument = "TAPS",
      .input = InputKind::kDocument,
      .options = {{"picture", "FILE", "JPEG or PNG that the taps belong to", OptionKind::kFile}},
      .keys =
          "sentence, picture{width, height}, scale{kind, mm_per_px_least, mm_per_px_most}, homography_error{value, band, unit, freedom, "
          "residuals[]}, circles[]{number, kind, at, at_uncertainty_mm, diameter_mm, uncertainty_mm, status, seen_share, centre_px, "
          "rim_px}, outline[], engine_toml, doubts[], notes[]",
      .run = run_gasket_photo,
      .second_argument = "picture",
  };
}

}  // namespace headjoint::assess
