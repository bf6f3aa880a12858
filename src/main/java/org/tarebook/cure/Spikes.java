package org.tarebook.cure;

import java.util.BitSet;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.schedule.Measured.Physical;

/** Finds samples that stand alone far from both neighbours, as no medium with mass can. */
final class Spikes {

  private Spikes() {}

  /**
   * Indexes of the spikes among some samples.
   *
   * @param media values of the medium, in degrees Celsius or kilopascals absolute
   */
  static BitSet of(ChannelLog log, double[] media) {
    BitSet found = new BitSet();
    Physical physical = log.channel().measured().physical();
    if (log.channel().recording() == Recording.ON_CHANGE || physical == Physical.CLAMPING) {
      return found;
    }
    for (int i = 1; i + 1 < media.length; i++) {
      double before = media[i - 1];
      double after = media[i + 1];
      double height = Math.min(Math.abs(media[i] - before), Math.abs(media[i] - after));
      boolean sameSide = (media[i] > before) == (media[i] > after);
      double least =
          Math.max(
              3 * log.error(before),
              physical == Physical.TEMPERATURE ? 5 : 0.05 * Math.abs(before));
      if (sameSide && height > least && Math.abs(after - before) < height / 2) {
        found.set(i);
      }
    }
    return found;
  }
}
