package org.tarebook.cure;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * One press load.
 *
 * @param revisionId the schedule revision in force when it started; absent where none was
 * @param barometer air pressure at the press in kPa; absent where nobody read it
 * @param version grows with each piece, the closing and each verdict
 * @param closing absent while it runs
 */
public record Cure(
    long id,
    String key,
    String postedBy,
    long pressId,
    long scheduleId,
    @Nullable Long revisionId,
    Instant startedAt,
    @Nullable BigDecimal barometer,
    List<CavityLoad> cavities,
    List<Channel> channels,
    Instant recordedAt,
    @Nullable Closing closing,
    long version) {

  /** That a cure was ended, and by whom. */
  public record Closing(Instant at, String key, String by) {}

  /** Whether it takes samples without a reason for being late. */
  public boolean open() {
    return closing == null;
  }

  /** The same cure with these cavities. */
  Cure loadedWith(List<CavityLoad> loads) {
    return new Cure(
        id,
        key,
        postedBy,
        pressId,
        scheduleId,
        revisionId,
        startedAt,
        barometer,
        loads,
        channels,
        recordedAt,
        closing,
        version);
  }

  /** The channel with this code. */
  Optional<Channel> channel(String code) {
    return channels.stream().filter(channel -> channel.code().equals(code)).findFirst();
  }
}
