// SPDX-License-Identifier: MIT
#pragma once
/// The slow twin of a mixed model: V = Z (G x A) Z' + W C W' + R written out, generalised least
/// squares by a pseudo-inverse, and best linear unbiased prediction by its definition (Henderson
/// 1975, Biometrics 31:423). Nothing of Henderson's equations, of A^-1 or of a sparse factor is
/// used.
#include <Eigen/Dense>
#include <vector>

namespace doewright::testing {

/// All random effects as one vector with covariance `prior`; fixed effects apart.
struct DenseModel {
  Eigen::MatrixXd x, z, prior;
  Eigen::VectorXd y, residual;  ///< Residual variance of each record.
};

struct DenseAnswer {
  Eigen::VectorXd fitted_fixed;  ///< X b of each record: the same whatever constraint is chosen.
  Eigen::VectorXd random;
  Eigen::MatrixXd error;  ///< Prediction error covariance of the random effects.
};

inline DenseAnswer by_definition(const DenseModel& model) {
  const Eigen::MatrixXd covariance = model.z * model.prior;  // of y with the effects
  Eigen::MatrixXd v = covariance * model.z.transpose();
  v.diagonal() += model.residual;
  const Eigen::MatrixXd v_inverse = v.llt().solve(Eigen::MatrixXd::Identity(v.rows(), v.cols()));
  const Eigen::MatrixXd information = model.x.transpose() * v_inverse * model.x;
  const Eigen::MatrixXd spread = information.completeOrthogonalDecomposition().pseudoInverse();
  const Eigen::VectorXd b = spread * (model.x.transpose() * (v_inverse * model.y));
  // P = V^-1 - V^-1 X (X'V^-1 X)^- X'V^-1
  const Eigen::MatrixXd p =
      v_inverse - v_inverse * model.x * spread * model.x.transpose() * v_inverse;
  DenseAnswer answer;
  answer.fitted_fixed = model.x * b;
  answer.random = covariance.transpose() * (p * model.y);
  answer.error = model.prior - covariance.transpose() * p * covariance;
  return answer;
}

/// G x A, node by node.
inline Eigen::MatrixXd kronecker(const Eigen::MatrixXd& a, const Eigen::MatrixXd& g) {
  Eigen::MatrixXd result(a.rows() * g.rows(), a.cols() * g.cols());
  for (Eigen::Index i = 0; i < a.rows(); ++i) {
    for (Eigen::Index j = 0; j < a.cols(); ++j) {
      result.block(i * g.rows(), j * g.cols(), g.rows(), g.cols()) = a(i, j) * g;
    }
  }
  return result;
}

}  // namespace doewright::testing
