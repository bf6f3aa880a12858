package org.tarebook.access;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.springframework.http.HttpMethod;
import org.springframework.stereotype.Component;
import org.tarebook.http.OperationRoles;

/** Tells the API document what the {@link PermissionTable} and {@link StationReads} hold. */
@Component
class TableRoles implements OperationRoles {

  @Override
  public Said of(HttpMethod method, String path) {
    Permission listed = PermissionTable.of(method, path).orElse(null);
    StationReads.Share share = StationReads.of(path);
    Permission permission = listed == null ? reading(share) : listed;
    List<String> roles = permission.roles().stream().map(Role::name).toList();
    return new Said(
        roles,
        roles.stream().collect(Collectors.joining(", "))
            + (permission.person() ? "; a person's own token." : ".")
            + (listed == null && share == StationReads.Share.OWN
                ? " A station's own token: of its own station or line."
                : ""));
  }

  /** What is not listed is read. */
  private static Permission reading(StationReads.Share share) {
    Set<Role> roles = EnumSet.allOf(Role.class);
    if (share == StationReads.Share.NONE) {
      roles.remove(Role.STATION);
    }
    return new Permission(roles, false);
  }
}
