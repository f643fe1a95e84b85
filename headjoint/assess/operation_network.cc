#include <limits>

#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/diagnosis/network.h"

namespace headjoint::assess {
namespace {

std::string evidence_text(const diagnosis::Network& network, const diagnosis::NodeEvidence& evidence) {
  const diagnosis::NetworkNode& node = network.nodes[evidence.node];
  for (std::size_t state = 0; state < node.states.size(); ++state)
    if (evidence.likelihood[state] > 0) return node.name + "=" + node.states[state];
  return node.name;
}

Result<Reply> run_network(const Request& request) {
  const auto network = diagnosis::read_network(request.input);
  if (!network) return network.problems();
  const auto evidence = diagnosis::read_evidence(*network, request.option("evidence"));
  if (!evidence) return evidence.problems();
  const diagnosis::NetworkPosterior posterior = diagnosis::infer(*network, *evidence);
  NetworkReply content;
  content.status = diagnosis::to_text(posterior.status);
  content.log_evidence = posterior.status == diagnosis::Status::kDone ? posterior.log_evidence : std::numeric_limits<double>::quiet_NaN();
  for (const std::size_t piece : posterior.conflicting) content.contradicting.push_back(evidence_text(*network, (*evidence)[piece]));
  for (std::size_t n = 0; n < posterior.posteriors.size(); ++n) {
    NetworkReply::Node node{network->nodes[n].name, {}};
    for (std::size_t state = 0; state < network->nodes[n].states.size(); ++state) {
      node.states.emplace_back(network->nodes[n].states[state], posterior.posteriors[n][state]);
    }
    content.posteriors.push_back(std::move(node));
  }
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(content));
  reply.answer_is_no = posterior.status != diagnosis::Status::kDone;
  reply.content = std::move(content);
  return reply;
}

}  // namespace

Operation network_operation() {
  return {
      .name = "network",
      .summary = "exact inference on any discrete network",
      .argument = "NETWORK",
      .input = InputKind::kDocument,
      .options = {{"evidence", "LIST", "what is known: A=yes,D=no", OptionKind::kList}},
      .keys = "log_evidence, posteriors{node{state: p}}",
      .run = run_network,
  };
}

}  // namespace headjoint::assess
