package org.tarebook.spec;

import java.util.List;
import org.springframework.stereotype.Service;
import org.tarebook.http.Problem;

/** The specifications of the plant, in revisions. */
@Service
public class Specifications {

  private final SpecificationRepository repository;

  Specifications(SpecificationRepository repository) {
    this.repository = repository;
  }

  /** Every revision of every characteristic, in no order. */
  public List<Specification> every() {
    return repository.findAll();
  }

  /** The revisions of a characteristic, the first one first, withdrawn ones included. */
  public List<Specification> of(Characteristic characteristic) {
    return repository.findByCharacteristicIdOrderByRevision(characteristic.id());
  }

  /** One revision. */
  public Specification get(Characteristic characteristic, int revision) {
    return repository
        .findByCharacteristicIdAndRevision(characteristic.id(), revision)
        .orElseThrow(
            () ->
                Problem.notFound(
                    "revision " + revision + " of the specification of", characteristic.code()));
  }
}
