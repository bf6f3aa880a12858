package org.tarebook.spec;

import java.util.List;
import org.springframework.stereotype.Service;
import org.tarebook.http.Problem;

/** How uncertain the stations of the plant measure, in revisions. */
@Service
public class MeasuringUncertainties {

  private final UncertaintyStore store;

  MeasuringUncertainties(UncertaintyStore store) {
    this.store = store;
  }

  /** Every revision of every station and characteristic, in no order. */
  public List<MeasuringUncertainty> every() {
    return store.every();
  }

  /** The revisions of all stations for a characteristic. */
  List<MeasuringUncertainty> of(Characteristic characteristic) {
    return store.of(characteristic.id());
  }

  /** The revisions of one station for a characteristic. */
  List<MeasuringUncertainty> of(Characteristic characteristic, long stationId) {
    return of(characteristic).stream().filter(one -> one.stationId() == stationId).toList();
  }

  /** One revision. */
  MeasuringUncertainty get(long id) {
    return store
        .find(id)
        .orElseThrow(() -> Problem.notFound("measuring uncertainty with the id", "" + id));
  }
}
