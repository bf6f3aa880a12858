package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** What a channel of a press measures. */
@Schema(name = "ChannelMeasured", description = "What a channel of a press measures.")
public enum Measured {
  @Schema(description = "Temperature of the medium inside the bladder.")
  INTERNAL_TEMPERATURE("internal temperature", Physical.TEMPERATURE),
  @Schema(description = "Pressure inside the bladder.")
  INTERNAL_PRESSURE("internal pressure", Physical.PRESSURE),
  @Schema(description = "Temperature of the steam in the dome.")
  DOME_TEMPERATURE("dome temperature", Physical.TEMPERATURE),
  @Schema(description = "Pressure of the steam in the dome.")
  DOME_PRESSURE("dome pressure", Physical.PRESSURE),
  @Schema(description = "Temperature of the platens.")
  PLATEN_TEMPERATURE("platen temperature", Physical.TEMPERATURE),
  @Schema(description = "Pressure of the steam in the platens.")
  PLATEN_PRESSURE("platen pressure", Physical.PRESSURE),
  @Schema(description = "Clamping of the mould, as a pressure or a force.")
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
