package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.List;

/** How a figure is defined, and where. */
@Schema(name = "Definition", description = "How a figure is defined, and by which source.")
record Definition(
    @Schema(description = "The member that holds the figure.") String figure,
    @Schema(description = "The definition.") String words,
    @Schema(description = "Where the definition is published.") String source) {

  /** The definitions of every figure of a study. */
  static final List<Definition> ALL =
      List.of(
          new Definition(
              "letters",
              "Here, as in the AIAG manual: C (cp, cpk) by the sigma within subgroups, P (pp, ppk)"
                  + " by the total sigma. ISO 22514 uses both letters for the total spread: P where"
                  + " the process was not shown to be in control, C where it was; so what ISO 22514"
                  + " calls Cpk of a process in control is ppk here, and cpk here has no name"
                  + " there. Say which is meant when figures are exchanged.",
              "AIAG Statistical Process Control, 2nd edition; ISO 22514-1 and ISO 22514-2"),
          new Definition(
              "cp",
              "(U - L) / (6 sigmaWithin); cpu (U - mean) / (3 sigmaWithin), cpl (mean - L) / (3"
                  + " sigmaWithin), cpk the smaller of both",
              "AIAG Statistical Process Control, 2nd edition; NIST/SEMATECH e-Handbook, 6.1.6"),
          new Definition(
              "pp",
              "The same ratios with sigmaTotal, the standard deviation of all counted readings with"
                  + " divisor n - 1",
              "AIAG Statistical Process Control, 2nd edition; ISO 22514-2 calls these performance"
                  + " indices"),
          new Definition(
              "pp by percentiles",
              "With a method other than NORMAL: (U - L) / (x99.865 - x0.135); ppu (U - x50) /"
                  + " (x99.865 - x50), ppl (x50 - L) / (x50 - x0.135), ppk the smaller of both. A"
                  + " bound by nature, such as 0 of a run-out, is no limit.",
              "ISO 22514-2"),
          new Definition(
              "cpm",
              "(U - L) / (6 tau), tau the root of the sum of (x - target) squared over all counted"
                  + " readings, divided by n; a performance figure, whatever its letter",
              "R. A. Boyles, Journal of Quality Technology 23 (1991) 17-26"),
          new Definition(
              "sigmaWithin",
              "R_BAR: mean range over d2; S_BAR: mean standard deviation over c4; MOVING_RANGE:"
                  + " mean moving range over d2(2); POOLED: root of the pooled variance, no bias"
                  + " correction; POOLED_C4: the same over c4 of its degrees of freedom and one",
              "NIST/SEMATECH e-Handbook, 6.3.2"),
          new Definition(
              "intervals",
              "Two-sided. cp, pp: chi-square with the degrees of freedom of sigma, which of ranges and"
                  + " of means of s are effective ones; cpu,"
                  + " cpl, ppu, ppl: noncentral t with the same; cpk, ppk:"
                  + " normal approximation, whose lower limit is too high with fewer than 25 readings,"
                  + " or noncentral t where one limit exists; cpm: generalised interval of sigma and"
                  + " mean together. Of a chart whose means move by themselves (BETWEEN_WITHIN) all"
                  + " are made of the two parts of the spread: cp, pp by Graybill and Wang, the others"
                  + " by generalised intervals. EMPIRICAL: between readings, whatever the distribution."
                  + " Shares: Clopper and Pearson, so that none seen leaves an upper limit of 1 - ((1 -"
                  + " confidence) / 2)^(1/n). In 1,000 simulated series of each size 95 % intervals of"
                  + " normal readings of one spread covered 93.7 % or more; those of means that move"
                  + " by themselves were simulated in trials only.",
              "NIST/SEMATECH e-Handbook, 6.1.6 and 7.2.4.1; A. F. Bissell, Applied Statistics 39"
                  + " (1990) 331-340; Y. M. Chou, D. B. Owen and S. A. Borrego, Journal of Quality"
                  + " Technology 22 (1990) 223-229; F. A. Graybill and C. M. Wang, Journal of the American"
                  + " Statistical Association 75 (1980) 869-873; S. Weerahandi, Journal of the American"
                  + " Statistical Association 88 (1993) 899-905"));
}
