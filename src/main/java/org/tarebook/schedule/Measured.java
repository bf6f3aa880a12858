package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** What a channel of a press measures. */
@Schema(name = "ChannelMeasured")
public enum Measured {
  INTERNAL_TEMPERATURE("internal temperature", Physical.TEMPERATURE),
  INTERNAL_PRESSURE("internal pressure", Physical.PRESSURE),
  DOME_TEMPERATURE("dome temperature", Physical.TEMPERATURE),
  DOME_PRESSURE("dome pressure", Physical.PRESSURE),
  PLATEN_TEMPERATURE("platen temperature", Physical.TEMPERATURE),
  PLATEN_PRESSURE("platen pressure", Physical.PRESSURE),
  CLAMPING("clamping", Physical.CLAMPING);

  /** What kind of sensor it takes. */
  public enum Physical {
    TEMPERATURE,
    PRESSURE,
    /** A pressure or a force; never compared with the media. */
    CLAMPING
  }

  private final String words;
  private final Physical physical;

  Measured(String words, Physical physical) {
    this.words = words;
    this.physical = physical;
  }

  /** Its name in sentences. */
  public String words() {
    return words;
  }

  /** The kind of sensor. */
  public Physical physical() {
    return physical;
  }

  /** Whether it is of the medium inside the bladder or bag. */
  public boolean internal() {
    return this == INTERNAL_TEMPERATURE || this == INTERNAL_PRESSURE;
  }

  /** Whether it is the temperature outside the mould. */
  public boolean outsideTemperature() {
    return this == DOME_TEMPERATURE || this == PLATEN_TEMPERATURE;
  }
}
