package org.tarebook.spec;

import java.util.List;
import java.util.Optional;
import org.springframework.data.jpa.repository.JpaRepository;

interface SpecificationRepository extends JpaRepository<Specification, Long> {

  List<Specification> findByCharacteristicIdOrderByRevision(long characteristicId);

  Optional<Specification> findByCharacteristicIdAndRevision(long characteristicId, int revision);
}
