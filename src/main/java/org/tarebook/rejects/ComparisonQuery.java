package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.Parameter;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/** What is held against what: two of one dimension in one window, or two windows of the same. */
record ComparisonQuery(
    @Parameter(
            description =
                "What the two sides differ by: LINE, STATION, DIE, SHIFT, COMPONENT or PRODUCT; left"
                    + " out where two windows are compared.",
            example = "LINE")
        @Nullable Dimension by,
    @Parameter(description = "Code or name of the first side, with by.", example = "T1")
        @Nullable String first,
    @Parameter(description = "Code or name of the second side, with by.", example = "T2")
        @Nullable String second,
    @Parameter(
            description =
                "First moment of the second window, where two windows are compared; the first is"
                    + " measuredFrom to measuredBefore.",
            example = "2026-03-09T06:00:00+01:00")
        @Nullable Instant secondFrom,
    @Parameter(
            description = "First moment after the second window.",
            example = "2026-03-16T06:00:00+01:00")
        @Nullable Instant secondBefore) {

  /**
   * The two questions.
   *
   * @throws Problem where what is asked is not exactly one comparison
   */
  List<RateQuestion> questions(RateQuestion asked) {
    if (!asked.groupBy().isEmpty()) {
      throw refused("groupBy", "does not go with a comparison; say by, first and second");
    }
    if (asked.bucket() != Bucket.NONE) {
      throw refused("bucket", "does not go with a comparison, which takes each side whole");
    }
    boolean windows = secondFrom != null || secondBefore != null;
    if (windows == (by != null || first != null || second != null)) {
      throw refused(
          "by",
          "or a second window is needed, and not both: either by, first and second, or secondFrom and"
              + " secondBefore");
    }
    return windows ? windows(asked) : sides(asked);
  }

  private List<RateQuestion> windows(RateQuestion asked) {
    if (secondFrom == null || secondBefore == null) {
      throw refused(
          secondFrom == null ? "secondFrom" : "secondBefore",
          "is needed: a second window has two ends");
    }
    if (secondFrom.isBefore(asked.measuredBefore())
        && asked.measuredFrom().isBefore(secondBefore)) {
      throw refused(
          "secondFrom", "the windows share time; items in both would be held against themselves");
    }
    return List.of(asked, asked.over(secondFrom, secondBefore));
  }

  private List<RateQuestion> sides(RateQuestion asked) {
    if (by == null || first == null || second == null) {
      throw refused(
          by == null ? "by" : first == null ? "first" : "second",
          "is needed: by says what the two sides differ by, first and second name them");
    }
    if (first.equals(second)) {
      throw refused("second", "is the first side, " + first + ", again");
    }
    return List.of(
        asked.of(side(asked.narrowing(), first)), asked.of(side(asked.narrowing(), second)));
  }

  private RateQuestion.Narrowing side(RateQuestion.Narrowing n, String name) {
    String already =
        switch (Objects.requireNonNull(by)) {
          case LINE -> n.line();
          case STATION -> n.station();
          case DIE -> n.die();
          case SHIFT -> n.shift();
          case COMPONENT -> n.component();
          case PRODUCT -> n.product();
          case DIRECTION, REASON ->
              throw refused(
                  "by",
                  "is one of LINE, STATION, DIE, SHIFT, COMPONENT, PRODUCT; "
                      + by
                      + " tells failures apart, not items");
        };
    if (already != null) {
      throw refused("by", "is " + by + ", and so is narrowed already to " + already);
    }
    return new RateQuestion.Narrowing(
        by == Dimension.LINE ? name : n.line(),
        by == Dimension.COMPONENT ? name : n.component(),
        by == Dimension.PRODUCT ? name : n.product(),
        by == Dimension.STATION ? name : n.station(),
        by == Dimension.DIE ? name : n.die(),
        n.characteristic(),
        by == Dimension.SHIFT ? name : n.shift());
  }

  private static Problem refused(String pointer, String detail) {
    return Problem.at(ProblemType.RULE_BROKEN, pointer, detail);
  }
}
