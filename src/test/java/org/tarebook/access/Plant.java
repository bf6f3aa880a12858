package org.tarebook.access;

import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.RunningTarebook;

/** A place of the plant that tokens can be given to. */
final class Plant {

  private Plant() {}

  /** Records a line with one station, and gives the station's code. */
  static String station(RunningTarebook tarebook) {
    Client quality = tarebook.quality();
    String line = Codes.fresh("L");
    String station = Codes.fresh("S");
    quality
        .post(
            "/api/v1/lines",
            "{\"code\": \"%s\", \"name\": \"Tread line\", \"kind\": \"TREAD_EXTRUSION\"}"
                .formatted(line))
        .expect(201);
    quality
        .post(
            "/api/v1/stations",
            "{\"code\": \"%s\", \"name\": \"Weigh station\", \"line\": \"%s\"}"
                .formatted(station, line))
        .expect(201);
    return station;
  }
}
