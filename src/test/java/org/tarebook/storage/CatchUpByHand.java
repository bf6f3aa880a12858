package org.tarebook.storage;

import org.tarebook.fixtures.RunningTarebook;

/** Long work that follows requests, done when a test says so. */
public final class CatchUpByHand {

  /** So that the service itself does none. */
  public static final String SETTING = "--tarebook.catching-up=PT10H";

  private CatchUpByHand() {}

  /** Does all that is left. */
  public static void run(RunningTarebook tarebook) {
    tarebook.bean(CatchUps.class).run();
  }
}
