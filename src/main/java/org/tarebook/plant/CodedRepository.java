package org.tarebook.plant;

import java.util.List;
import java.util.Optional;
import org.springframework.data.domain.Limit;
import org.springframework.data.jpa.repository.JpaRepository;
import org.springframework.data.repository.NoRepositoryBean;

/** How things with a code are stored. */
@NoRepositoryBean
public interface CodedRepository<T extends Coded> extends JpaRepository<T, Long> {

  /** The thing with this code. */
  Optional<T> findByCode(String code);

  /** Things behind a code, in the order of their codes. */
  List<T> findByCodeGreaterThanOrderByCode(String code, Limit limit);
}
