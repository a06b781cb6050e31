// SPDX-License-Identifier: MIT
#include <doewright/herd/samples.hpp>

#include <algorithm>
#include <tuple>

namespace doewright {

std::vector<GeneSample> samples_of(const Herd& herd, std::span<const FaultIndex> signs) {
  std::vector<const GeneTest*> tests;
  for (const GeneTest& test : herd.gene_tests) {
    if (std::find(signs.begin(), signs.end(), test.fault) != signs.end()) tests.push_back(&test);
  }
  const auto sample = [](const GeneTest* test) {
    return std::tie(test->animal, test->date, test->laboratory);
  };
  std::stable_sort(tests.begin(), tests.end(), [&](const GeneTest* a, const GeneTest* b) {
    return sample(a) != sample(b) ? sample(a) < sample(b) : a->fault < b->fault;
  });
  std::vector<GeneSample> result;
  for (const GeneTest* test : tests) {
    if (result.empty() || sample(result.back().front()) != sample(test)) result.emplace_back();
    result.back().push_back(test);
  }
  return result;
}

bool all_read_alike(const GeneSample& sample) noexcept {
  return std::all_of(sample.begin(), sample.end(), [&](const GeneTest* test) {
    return test->copies == sample.front()->copies;
  });
}

}  // namespace doewright
