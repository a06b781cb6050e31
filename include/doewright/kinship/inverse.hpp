// SPDX-License-Identifier: MIT
#pragma once
/// The numerator relationship matrix A = T D T' in its parts, and its inverse.
///
/// Rows and columns are animals in pedigree order, then stand-ins (number size() + s).
#include <cstdint>
#include <span>
#include <vector>

#include <doewright/core/animal.hpp>
#include <doewright/export.hpp>
#include <doewright/pedigree/pedigree.hpp>

namespace doewright {

/// A sparse symmetric or triangular matrix by rows: entries of row r are [first[r], first[r + 1]), in
/// ascending columns, each place at most once.
struct SparseMatrix {
  std::vector<std::uint64_t> first;
  std::vector<std::uint32_t> columns;
  std::vector<double> values;
};

/// D(i): Mendelian sampling variance in units of the additive variance: 1 for a founder, 3/4 - F/4 with
/// one parent known, 1/2 - (F(sire) + F(dam)) / 4 with both; of a stand-in 1 + F(m) - p'Ap.
/// `f` is inbreeding(pedigree). \throws UsageError if the length differs.
DOEWRIGHT_EXPORT std::vector<double> sampling_variances(const Pedigree& pedigree,
                                                        std::span<const double> f);

/// Inverse of A, both triangles, with inbreeding: Henderson (1976), Quaas (1976); with stand-ins
/// Henderson (1988), each one more equation.
/// Cost: one pass; at most 9 entries an animal and (k + 1)^2 a stand-in before joining.
DOEWRIGHT_EXPORT SparseMatrix relationship_inverse(const Pedigree& pedigree,
                                                   std::span<const double> f);

/// T: row i holds the expected share of i's genes that came from (or through) each ancestor, itself 1.
/// Dense in a deep pedigree: for people-sized questions. \throws LimitError beyond `most_entries`.
DOEWRIGHT_EXPORT SparseMatrix gene_flow(const Pedigree& pedigree,
                                        std::uint64_t most_entries = 100'000'000);

/// A v, by two sweeps, without forming A (Colleau 2002). `v` has one entry an animal; stand-ins take
/// part inside. Source: Colleau (2002), Genet. Sel. Evol. 34:409-421.
DOEWRIGHT_EXPORT std::vector<double> relationship_times(const Pedigree& pedigree,
                                                        std::span<const double> f,
                                                        std::span<const double> v);

}  // namespace doewright
