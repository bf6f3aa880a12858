package org.tarebook.compound;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Decimals;
import org.tarebook.thermal.CureMeter;

/**
 * A cure-meter curve on record. Never edited.
 *
 * @param sent as it was sent; in lists without the points
 * @param figures found from it when it was recorded, torques in dN m and times in minutes
 * @param postedBy who sent it; the key is unique among theirs
 */
record Curve(
    long id,
    long compoundId,
    CurveRequest sent,
    CureMeter figures,
    String postedBy,
    Instant recordedAt) {

  /** The figures it does not have, and why. */
  List<NotComputed> notComputed() {
    List<NotComputed> missing = new ArrayList<>();
    Double mh = figures.mh();
    if (mh == null) {
      for (String figure : List.of("mh", "ts1", "ts2", "tc10", "tc50", "tc90", "reversion")) {
        missing.add(
            new NotComputed(
                figure,
                NotComputed.Reason.NO_RISE,
                "The torque never rises behind its lowest value."));
      }
      return missing;
    }
    addUnlessRisen(missing, "ts1", figures.ts1(), 1, mh - figures.ml());
    addUnlessRisen(missing, "ts2", figures.ts2(), 2, mh - figures.ml());
    return missing;
  }

  private static void addUnlessRisen(
      List<NotComputed> missing, String figure, @Nullable Double time, int wanted, double rise) {
    if (time == null) {
      missing.add(
          new NotComputed(
              figure,
              NotComputed.Reason.RISE_TOO_SMALL,
              "The torque rises by "
                  + Decimals.rounded(rise, 4).toPlainString()
                  + " dN.m, less than the "
                  + wanted
                  + " dN.m asked for."));
    }
  }
}
