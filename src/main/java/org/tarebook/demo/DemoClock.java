package org.tarebook.demo;

import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.context.annotation.Primary;
import org.springframework.context.annotation.Profile;
import org.springframework.stereotype.Component;

/** The server's clock of the demo: shows past moments while their history is written, then runs. */
@Component
@Primary
@Profile("demo")
class DemoClock extends Clock {

  private final Clock server;
  private volatile @Nullable Instant shown;

  DemoClock(@Qualifier("clock") Clock server) {
    this.server = server;
  }

  /** Shows a past moment from now on. */
  void show(Instant moment) {
    shown = moment;
  }

  /** Runs with the server's clock from now on. */
  void run() {
    shown = null;
  }

  @Override
  public Instant instant() {
    Instant moment = shown;
    return moment != null ? moment : server.instant();
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
