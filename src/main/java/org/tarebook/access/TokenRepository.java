package org.tarebook.access;

import java.time.Instant;
import java.util.List;
import org.springframework.data.domain.Limit;
import org.springframework.data.jpa.repository.JpaRepository;

interface TokenRepository extends JpaRepository<Token, Long> {

  List<Token> findByIdGreaterThanOrderById(long id, Limit limit);

  boolean existsByRoleAndRevokedAtIsNullAndExpiresAtAfter(Role role, Instant now);
}
