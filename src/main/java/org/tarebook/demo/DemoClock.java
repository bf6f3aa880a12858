package org.tarebook.demo;

import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import org.jspecify.annotations.Nullable;
import org.springframework.context.annotation.Primary;
import org.springframework.context.annotation.Profile;
import org.springframework.stereotype.Component;

/** The server's clock of the demo: shows past moments while their history is written, then runs. */
@Component
@Primary
@Profile("demo")
class DemoClock extends Clock {

  private volatile @Nullable Instant shown;

  /** Shows a past moment from now on. */
  void show(Instant moment) {
    shown = moment;
  }

  /** Runs with the system's clock from now on. */
  void run() {
    shown = null;
  }

  @Override
  public Instant instant() {
    Instant moment = shown;
    return moment != null ? moment : Clock.systemUTC().instant().truncatedTo(ChronoUnit.MICROS);
  }

  @Override
  public ZoneId getZone() {
    return ZoneOffset.UTC;
  }

  @Override
  public Clock withZone(ZoneId zone) {
    throw new UnsupportedOperationException("The demo's clock knows UTC only");
  }
}
