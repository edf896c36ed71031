"""The posterior of effects and days from plates that each say a mean and a precision of their sum. Pure.

A day's part belongs to that day alone, so the days are summed out one by one, and what is left is a small
system over the effects, solved by its Cholesky factor.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from operator import mul

from darkroom.exposure.observations import Observations, Row, Target

Matrix = list[list[float]]


class Gaussian:
    """The posterior for given site precisions and site precisions times means, and for one variance of days.

    With z = x − u/A for a plate's effects x, u and A being its day's sums of precision, its sum has the mean
    z·β + r/A and the variance z'Cz + 1/A; C and β are the covariance and the mean of the effects.
    """

    def __init__(
        self,
        observations: Observations,
        day_variance: float,
        precisions: Sequence[float],
        shifts: Sequence[float],
    ) -> None:
        width, days = len(observations.variances), observations.days
        matrix = [[0.0] * width for _ in range(width)]
        for at, variance in enumerate(observations.variances):
            matrix[at][at] = 1 / variance
        right = [0.0] * width
        day_sums: list[dict[int, float]] = [{} for _ in range(days)]
        day_rights = [0.0] * days
        day_precisions = [1 / day_variance] * days
        for site, precision, shift in zip(observations.sites, precisions, shifts, strict=True):
            sums, row = day_sums[site.day], site.row
            day_precisions[site.day] += precision
            day_rights[site.day] += shift
            for count, (at, factor) in enumerate(row, start=1):
                part, line = precision * factor, matrix[at]
                sums[at] = sums.get(at, 0.0) + part
                right[at] += shift * factor
                for other, factor_there in row[:count]:
                    line[other] += part * factor_there
        self.day_rows: list[Row] = []
        for sums, day_right, precision in zip(day_sums, day_rights, day_precisions, strict=True):
            row = tuple(sorted((at, total / precision) for at, total in sums.items()))
            self.day_rows.append(row)
            for count, (at, share) in enumerate(row, start=1):
                part, line = share * precision, matrix[at]
                right[at] -= share * day_right
                for other, share_there in row[:count]:
                    line[other] -= part * share_there
        self.sites = observations.sites
        self.covariance = _inverse(matrix)
        self.mean = [sum(map(mul, line, right)) for line in self.covariance]
        self.day_variances = [1 / precision for precision in day_precisions]
        self._new_day = day_variance
        day_covariances = [times(self.covariance, row) for row in self.day_rows]
        self._day_covariances = day_covariances
        self._day_own = [
            dot(row, there) + variance
            for row, there, variance in zip(self.day_rows, day_covariances, self.day_variances, strict=True)
        ]
        self._day_means = [
            day_right * variance - dot(row, self.mean)
            for row, day_right, variance in zip(self.day_rows, day_rights, self.day_variances, strict=True)
        ]

    def of_site(self, row: Row, day: int) -> tuple[float, float]:
        """Return the mean and the variance of a plate's sum, its day in it."""
        covariance, there = self.covariance, self._day_covariances[day]
        mean, variance = self._day_means[day], self._day_own[day]
        effects = self.mean
        for count, (at, factor) in enumerate(row):
            line = covariance[at]
            twice = line[at] * factor - 2 * there[at]
            for other, factor_there in row[:count]:
                twice += 2 * line[other] * factor_there
            variance += factor * twice
            mean += factor * effects[at]
        return mean, variance

    def of_target(self, target: Target) -> tuple[float, float]:
        """Return the mean and the variance of what is asked, its day in it, its own doubt not."""
        if target.day is not None:
            return self.of_site(target.row, target.day)
        along = times(self.covariance, target.row)
        return dot(target.row, self.mean), dot(target.row, along) + self._new_day

    def with_sites(self, target: Target) -> list[float]:
        """Return the covariance of what is asked with each plate's sum."""
        along = times(self.covariance, target.row)
        if target.day is not None:
            there = self._day_covariances[target.day]
            along = [here - day for here, day in zip(along, there, strict=True)]
        days = [dot(row, along) for row in self.day_rows]
        own = {} if target.day is None else {target.day: self.day_variances[target.day]}
        return [dot(site.row, along) - days[site.day] + own.get(site.day, 0.0) for site in self.sites]

    def between(self, row: Row, other: Row) -> float:
        """Return the variance of the difference of two sums of one day."""
        factors = dict(row)
        for at, factor in other:
            factors[at] = factors.get(at, 0.0) - factor
        difference = tuple(factors.items())
        return dot(difference, times(self.covariance, difference))


def dot(row: Row, vector: Sequence[float]) -> float:
    """Return the product of a row with a vector of all effects."""
    return sum(factor * vector[at] for at, factor in row)


def times(matrix: Matrix, row: Row) -> list[float]:
    """Return the product of a symmetric matrix with a row, as a vector of all effects."""
    found = [0.0] * len(matrix)
    for at, factor in row:
        found = [sum_here + factor * value for sum_here, value in zip(found, matrix[at], strict=True)]
    return found


def _inverse(lower: Matrix) -> Matrix:
    """Return the inverse of the symmetric, positive definite matrix of this lower triangle."""
    size = len(lower)
    factor: Matrix = []
    for at, line in enumerate(lower):
        made: list[float] = []
        for other in range(at):
            above = factor[other]
            made.append((line[other] - sum(map(mul, made, above))) / above[other])
        made.append(sqrt(line[at] - sum(map(mul, made, made))))
        factor.append(made)
    # columns of the inverse factor, each from its diagonal downward
    columns: Matrix = []
    for at in range(size):
        column = [1 / factor[at][at]]
        for line in factor[at + 1 :]:
            column.append(-sum(map(mul, line[at:], column)) / line[at + len(column)])
        columns.append(column)
    inverse = [[0.0] * size for _ in range(size)]
    for at, column in enumerate(columns):
        for other in range(at + 1):
            value = sum(map(mul, column, columns[other][at - other :]))
            inverse[at][other] = inverse[other][at] = value
    return inverse
